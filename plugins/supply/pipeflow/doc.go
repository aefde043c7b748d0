// Package pipeflow is the hydraulics of water in full pipes: friction after
// Colebrook-White, losses after Darcy-Weisbach and by coefficient, and the
// properties of water. It is pure: numbers in, numbers out, in SI units (m,
// m³/s, m/s, Pa, kg/m³, Pa s) but for temperatures, which say theirs.
package pipeflow
