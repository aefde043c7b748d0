package measurepb

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// The generated files are those of the proto file. Comments are left out of
// the comparison, since they name the generator's version.
func TestGeneratedFilesAreCurrent(t *testing.T) {
	for _, tool := range []string{"protoc", "protoc-gen-go", "protoc-gen-go-grpc"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip(tool + " is not installed")
		}
	}
	dir := t.TempDir()
	c := exec.Command("protoc", "-I", "../../../..", "--go_out="+dir, "--go_opt=paths=source_relative",
		"--go-grpc_out="+dir, "--go-grpc_opt=paths=source_relative", "plugins/sdk/internal/measurepb/measure.proto")
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("protoc: %v\n%s", err, out)
	}
	for _, name := range []string{"measure.pb.go", "measure_grpc.pb.go"} {
		if !bytes.Equal(code(t, name), code(t, filepath.Join(dir, "plugins/sdk/internal/measurepb", name))) {
			t.Errorf("%s is not what measure.proto makes; run go generate", name)
		}
	}
}

func code(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var kept [][]byte
	for line := range bytes.Lines(b) {
		if !bytes.HasPrefix(bytes.TrimSpace(line), []byte("//")) {
			kept = append(kept, line)
		}
	}
	return bytes.Join(kept, nil)
}
