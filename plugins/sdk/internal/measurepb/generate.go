// Package measurepb is the generated wire of measurement plugins. Only package
// sdk uses it.
package measurepb

//go:generate protoc -I ../../../.. --go_out=../../../.. --go_opt=paths=source_relative --go-grpc_out=../../../.. --go-grpc_opt=paths=source_relative plugins/sdk/internal/measurepb/measure.proto
