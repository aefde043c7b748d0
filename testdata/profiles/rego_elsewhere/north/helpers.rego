package lib.helpers

help := true
