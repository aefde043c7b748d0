package sdk

import (
	"context"
	"errors"
	"os"
	"sync/atomic"
	"time"

	"github.com/hashicorp/go-hclog"
	goplugin "github.com/hashicorp/go-plugin"
	"google.golang.org/grpc"

	pb "fallrule/plugins/sdk/internal/measurepb"
)

// handshake tells that a program was started as a plugin of this tool, and in
// which version of the wire. The cookie is no secret.
var handshake = goplugin.HandshakeConfig{
	ProtocolVersion:  1,
	MagicCookieKey:   "FALLRULE_PLUGIN",
	MagicCookieValue: "fallrule.measure.v1",
}

// service is the one name a plugin is dispensed by.
const service = "measurer"

// looked remembers that IsChild was asked, for Self.
var looked atomic.Bool

// IsChild tells whether this process was started as a plugin. A program that
// starts itself must ask first thing in main, a test first thing in TestMain,
// and serve when it is one; else the child would start children.
func IsChild() bool {
	looked.Store(true)
	return os.Getenv(handshake.MagicCookieKey) == handshake.MagicCookieValue
}

// Serve is a plugin's main: it offers the measurers to the tool that started
// this process and returns when the tool is done. Several are offered as one;
// each quantity goes to its measurer. The layout they get is shared among
// them: read it, do not change it.
//
// When the tool ends without a word, a watch ends this process too.
func Serve(m ...Measurer) {
	go watchParent(watchInterval, func() { os.Exit(exitOrphaned) })
	goplugin.Serve(&goplugin.ServeConfig{
		HandshakeConfig: handshake,
		Plugins:         goplugin.PluginSet{service: &wirePlugin{measurers: m}},
		Logger:          hclog.New(&hclog.LoggerOptions{Level: hclog.Error, Output: os.Stderr}),
		GRPCServer: func(options []grpc.ServerOption) *grpc.Server {
			return grpc.NewServer(append(options, grpc.MaxRecvMsgSize(MaxMessage), grpc.MaxSendMsgSize(MaxMessage))...)
		},
	})
}

const (
	watchInterval = 200 * time.Millisecond
	exitOrphaned  = 3
)

// watchParent calls orphaned once this process has another parent than at
// first. On Windows a parent's end does not show; there the host alone ends
// its plugins.
func watchParent(every time.Duration, orphaned func()) {
	parent := os.Getppid()
	for range time.Tick(every) {
		if os.Getppid() != parent {
			orphaned()
			return
		}
	}
}

// wirePlugin joins the measurers to go-plugin, on both ends.
type wirePlugin struct {
	goplugin.NetRPCUnsupportedPlugin
	measurers party
}

// GRPCServer is the plugin's end.
func (p *wirePlugin) GRPCServer(_ *goplugin.GRPCBroker, s *grpc.Server) error {
	if len(p.measurers) == 0 {
		return errors.New("serve: no measurer given")
	}
	pb.RegisterMeasurerServer(s, &server{party: p.measurers})
	return nil
}

// GRPCClient is the host's end.
func (p *wirePlugin) GRPCClient(_ context.Context, _ *goplugin.GRPCBroker, c *grpc.ClientConn) (any, error) {
	return c, nil
}

type server struct {
	pb.UnimplementedMeasurerServer
	party party
}

// Describe lists the measurers.
func (s *server) Describe(ctx context.Context, _ *pb.DescribeRequest) (*pb.DescribeResponse, error) {
	list, err := s.party.Describe(ctx)
	if err != nil {
		return nil, err
	}
	return descriptionsToWire(list), nil
}

// Measure asks them.
func (s *server) Measure(ctx context.Context, w *pb.MeasureRequest) (*pb.MeasureResponse, error) {
	request, err := requestFromWire(w)
	if err != nil {
		return nil, err
	}
	answers, err := s.party.Measure(ctx, request)
	if err != nil {
		return nil, err
	}
	return answersToWire(answers), nil
}
