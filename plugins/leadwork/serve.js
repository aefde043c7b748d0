'use strict';

// The wire: go-plugin's handshake on standard output, the service over gRPC on
// a unix socket, and the end. It knows nothing of pipes; README.md tells what
// each step is for.

const path = require('node:path');

const cookie = { name: 'FALLRULE_PLUGIN', value: 'fallrule.measure.v1' };
const core = 1; // version of go-plugin's handshake
const app = 1; // version of measure.proto
const planVersion = 1; // version of the layout's form that the measurers read
const maxMessage = 256 * 1024 * 1024; // bytes, either way
const exitOrphaned = 3;

/**
 * Serve offers one measurer until the tool ends this process.
 * @param {object} measurer name, version, quantities ({name, unit, doc}) and
 *   measure(plan, quantities, working), which returns {measurements, gaps} in
 *   the form of measure.proto
 */
function serve(measurer) {
  process.on('uncaughtException', (err) => fail(`panic: ${err.message}`));
  const folder = socketFolder();
  watchParent();
  const { grpc, protos } = load();
  const server = new grpc.Server({
    'grpc.max_receive_message_length': maxMessage,
    'grpc.max_send_message_length': maxMessage,
  });
  server.addService(protos.fallrule.measure.v1.Measurer.service, {
    Describe: (_, reply) => reply(null, { measurers: [describe(measurer)] }),
    Measure: (call, reply) => answer(grpc, measurer, call.request, reply),
  });
  server.addService(protos.plugin.GRPCController.service, {
    Shutdown: (_, reply) => {
      reply(null, {});
      server.tryShutdown(() => process.exit(0));
    },
  });
  const socket = path.join(folder, `${measurer.name}.sock`);
  server.bindAsync(`unix:${socket}`, grpc.ServerCredentials.createInsecure(), (err) => {
    if (err) fail(`listen on ${socket}: ${err.message}`);
    // Only now: the tool connects as soon as it has read this line.
    process.stdout.write(`${core}|${app}|unix|${socket}|grpc\n`);
  });
}

/** The folder that the socket must lie in; ends the process when nobody gave one. */
function socketFolder() {
  const env = process.env;
  if (env[cookie.name] !== cookie.value) {
    fail('this is a measurement plugin of fallrule, which starts it: see README.md');
  }
  const spoken = (env.PLUGIN_PROTOCOL_VERSIONS || String(app)).split(',');
  if (!spoken.includes(String(app))) {
    fail(`the tool speaks version ${spoken.join(', ')} of the wire, this plugin version ${app}`);
  }
  if (env.PLUGIN_CLIENT_CERT) fail('the tool wants certificates (as on Windows), this plugin has none');
  if (!env.PLUGIN_UNIX_SOCKET_DIR) fail('PLUGIN_UNIX_SOCKET_DIR names no folder for the socket');
  return env.PLUGIN_UNIX_SOCKET_DIR;
}

/** The packages and both protocols. */
function load() {
  let grpc;
  let loader;
  try {
    grpc = require('@grpc/grpc-js');
    loader = require('@grpc/proto-loader');
  } catch (err) {
    fail(`its packages cannot be loaded (${err.code}): run npm ci in its folder`);
  }
  const files = ['../sdk/internal/measurepb/measure.proto', 'control.proto'];
  const found = loader.loadSync(files.map((f) => path.join(__dirname, f)), { keepCase: true, defaults: true });
  return { grpc, protos: grpc.loadPackageDefinition(found) };
}

function describe({ name, version, quantities }) {
  return { name, version, quantities };
}

/** An error costs this plugin's quantities; the sheet names the plugin and the reason. */
function answer(grpc, measurer, request, reply) {
  try {
    const plan = JSON.parse(request.plan.toString('utf8'));
    if (plan.version !== planVersion) {
      throw new Error(`the layout has form ${plan.version}, this plugin knows form ${planVersion}`);
    }
    reply(null, measurer.measure(plan, request.quantities, request.working));
  } catch (err) {
    console.error(err.stack);
    reply({ code: grpc.status.INTERNAL, message: err.message });
  }
}

/** Ends this process when the one that started it is gone without a word. */
function watchParent() {
  const parent = process.ppid;
  setInterval(() => {
    if (process.ppid !== parent) process.exit(exitOrphaned);
  }, 200).unref();
}

/** The last line of standard error is what the sheet shows of an end. */
function fail(why) {
  console.error(why);
  process.exit(1);
}

module.exports = { serve };
