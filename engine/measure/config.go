package measure

import (
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk"
)

// ConfigName is the usual name of the file that lists foreign plugins:
//
//	plugins:
//	  soil_survey:
//	    path: ./soil-survey        # from this file's folder
//	    sha256: 64 hexadecimal digits
//	    args: [--strict]
//	    timeout: 10 s              # ms, s or min
//	    memory: 512 MiB            # MiB or GiB
//
// Only path must stand. A plugin runs with the rights of who starts the tool,
// so the file is named by that person and never taken from beside a layout.
const ConfigName = "fallrule.plugins.yaml"

// What holds for a plugin unless its configuration says otherwise. The bundled
// ones are trusted with more, since a large block is theirs to measure.
const (
	DefaultTimeout        = sdk.DefaultTimeout
	DefaultMemory         = 1 << 30
	DefaultBundledTimeout = 5 * time.Minute
	DefaultBundledMemory  = 4 << 30
)

// ReadConfig reads the configuration of foreign plugins, in the file's order.
func ReadConfig(path string) ([]Source, error) {
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("read the plugins' configuration: %w", err)
	}
	return ParseConfig(path, b)
}

// ParseConfig reads what stands in the file of that path. Its errors name
// the line.
func ParseConfig(path string, b []byte) ([]Source, error) {
	var file yaml.Node
	if err := yaml.Unmarshal(b, &file); err != nil {
		return nil, fmt.Errorf("read %s: %w", path, err)
	}
	if len(file.Content) == 0 {
		return nil, nil
	}
	c := configuration{folder: filepath.Dir(path)}
	err := pairs(file.Content[0], "the file", func(key string, value *yaml.Node) error {
		if key != "plugins" {
			return fmt.Errorf("unknown key %s, the file has: plugins", quote(key))
		}
		return pairs(value, "plugins", c.plugin)
	})
	var at lineError
	if errors.As(err, &at) {
		return nil, fmt.Errorf("%s:%d: %w", path, at.line, at.error)
	}
	return c.sources, err
}

type configuration struct {
	folder  string
	sources []Source
}

func (c *configuration) plugin(name string, node *yaml.Node) error {
	if err := checkName(name); err != nil {
		return fmt.Errorf("plugin: %w", err)
	}
	if name == BundledName {
		return fmt.Errorf("plugin %s: that name stands for what comes with the tool", name)
	}
	command := sdk.Command{Timeout: DefaultTimeout, MemoryLimit: DefaultMemory}
	err := pairs(node, "plugin "+name, func(key string, value *yaml.Node) error {
		if err := c.setting(&command, key, value); err != nil {
			return fmt.Errorf("plugin %s: %w", name, err)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if command.Path == "" {
		return fmt.Errorf("plugin %s: no path, write the place of its executable", name)
	}
	c.sources = append(c.sources, External(name, command))
	return nil
}

func (c *configuration) setting(command *sdk.Command, key string, value *yaml.Node) error {
	if key == "args" {
		if value.Kind != yaml.SequenceNode {
			return errors.New("args: write a list, [--strict]")
		}
		return value.Decode(&command.Args)
	}
	if value.Kind != yaml.ScalarNode {
		return fmt.Errorf("%s: write one value", quote(key))
	}
	var err error
	switch text := value.Value; key {
	case "path":
		command.Path = text
		if text != "" && !filepath.IsAbs(text) {
			command.Path = filepath.Join(c.folder, text)
		}
	case "sha256":
		command.SHA256, err = hex.DecodeString(text)
		if err != nil || len(command.SHA256) != 32 {
			err = fmt.Errorf("sha256: %s is not 64 hexadecimal digits", quote(text))
		}
	case "timeout":
		var n int64
		n, err = amount(key, text, map[string]int64{"ms": int64(time.Millisecond), "s": int64(time.Second), "min": int64(time.Minute)}, "10 s")
		command.Timeout = time.Duration(n)
	case "memory":
		command.MemoryLimit, err = amount(key, text, map[string]int64{"MiB": 1 << 20, "GiB": 1 << 30}, "512 MiB")
	default:
		err = fmt.Errorf("unknown key %s, a plugin has: path, sha256, args, timeout, memory", quote(key))
	}
	return err
}

// amount reads a whole number and its unit, in the unit's smallest part.
func amount(key, text string, units map[string]int64, example string) (int64, error) {
	const most = 1_000_000
	number, unit, _ := strings.Cut(strings.TrimSpace(text), " ")
	n, err := strconv.ParseInt(number, 10, 64)
	size, known := units[strings.TrimSpace(unit)]
	if err != nil || !known || n < 1 || n > most {
		return 0, fmt.Errorf("%s: %s cannot be read, write it like %s", key, quote(text), example)
	}
	return n * size, nil
}

// lineError is an error with the line it stands on.
type lineError struct {
	line int
	error
}

func (e lineError) Unwrap() error { return e.error }

// pairs goes through a mapping in its order and refuses a doubled key.
func pairs(node *yaml.Node, of string, f func(key string, value *yaml.Node) error) error {
	if node.Kind != yaml.MappingNode {
		return lineError{node.Line, fmt.Errorf("%s: write keys with values", of)}
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, value := node.Content[i], node.Content[i+1]
		var err error
		if seen[key.Value] {
			err = fmt.Errorf("%s: %s stands twice", of, quote(key.Value))
		} else {
			err = f(key.Value, value)
		}
		seen[key.Value] = true
		var placed lineError
		if err != nil && !errors.As(err, &placed) {
			err = lineError{key.Line, err}
		}
		if err != nil {
			return err
		}
	}
	return nil
}
