import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { connectToBroker } from "../../controller/publish/external-client.ts";
import { type Broker, createIntake, createPublisher, lastWillOf, openBroker } from "../../controller/publish/index.ts";
import { wellRecord } from "../record/scan-record.ts";
import { describeWith, mosquittoPath } from "../system/rig/tools.ts";
import { CONTEXT, FLOOR_WET } from "./context.ts";
import { type Listener, listen, pause, until } from "./sockets.ts";

const TREE = "homie/5/reef-box";
const HOLD = `${TREE}/request/hold/set`;
const OUTCOME = `${TREE}/request/outcome`;

const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const { port } = server.address() as { port: number };
      server.close(() => resolve(port));
    });
  });

const ended = (child: ChildProcess): Promise<void> =>
  new Promise((resolve) => {
    if (child.exitCode !== null || child.signalCode !== null) resolve();
    else child.once("close", () => resolve());
  });

describeWith(["mosquitto"], "on a Mosquitto broker", () => {
  let folder: string;
  let port: number;
  let mosquitto: ChildProcess;
  let children: ChildProcess[] = [];
  let stranger: Listener;

  async function startMosquitto(): Promise<void> {
    mosquitto = spawn(mosquittoPath() as string, ["-c", join(folder, "mosquitto.conf")], { stdio: "ignore" });
    for (let attempt = 0; ; attempt += 1) {
      try {
        stranger = await listen(port);
        return;
      } catch (error) {
        if (attempt > 100) throw error;
        await pause(50);
      }
    }
  }

  function startChild(): ChildProcess {
    const script = join(import.meta.dirname, "external-child.ts");
    const child = spawn(process.execPath, [script, `mqtt://127.0.0.1:${port}`], {
      stdio: ["pipe", "ignore", "inherit"],
    });
    children.push(child);
    return child;
  }

  const outcomes = () =>
    stranger.heard.filter(({ topic }) => topic === OUTCOME).map(({ payload }) => JSON.parse(payload));

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-mosquitto-"));
    port = await freePort();
    const lines = [`listener ${port} 127.0.0.1`, "allow_anonymous true", "persistence false"];
    writeFileSync(join(folder, "mosquitto.conf"), `${lines.join("\n")}\n`);
    await startMosquitto();
  });
  afterEach(async () => {
    stranger.client.end(true);
    for (const child of [...children, mosquitto]) {
      child.kill("SIGKILL");
      await ended(child);
    }
    children = [];
    rmSync(folder, { recursive: true });
  });

  it("controller killed: init, ready, then lost by the broker, values still there", async () => {
    const child = startChild();
    await until(() => stranger.last(`${TREE}/$state`) === "ready", 15_000);
    const states = stranger.heard.filter(({ topic }) => topic === `${TREE}/$state`).map(({ payload }) => payload);
    expect(states).toEqual(["init", "ready"]);
    child.kill("SIGKILL");
    await until(() => stranger.last(`${TREE}/$state`) === "lost");
    const latecomer = await listen(port);
    await until(() => latecomer.last(`${TREE}/$state`) === "lost");
    expect(latecomer.last(`${TREE}/temperature/value`)).toBe("25.05");
    latecomer.client.end(true);
  });

  it("controller says goodbye: disconnected", async () => {
    const child = startChild();
    await until(() => stranger.last(`${TREE}/$state`) === "ready", 15_000);
    child.stdin?.write("goodbye\n");
    await ended(child);
    await pause(100);
    expect(stranger.last(`${TREE}/$state`)).toBe("disconnected");
  });

  it("alarm message and doubt left by an earlier controller: cleared", async () => {
    await stranger.client.publishAsync(`${TREE}/alarm-floor-wet/message`, "Old news.", { qos: 1, retain: true });
    await stranger.client.publishAsync(`${TREE}/temperature/doubt`, "does not answer", { qos: 1, retain: true });
    startChild();
    await until(() => stranger.last(`${TREE}/$state`) === "ready", 15_000);
    const latecomer = await listen(port);
    await until(() => latecomer.last(`${TREE}/$state`) === "ready");
    expect(latecomer.last(`${TREE}/alarm-floor-wet/message`)).toBeUndefined();
    expect(latecomer.last(`${TREE}/temperature/doubt`)).toBeUndefined();
    latecomer.client.end(true);
  });

  it("request retained before the start or after: refused, topic cleared; one not retained: accepted", async () => {
    await stranger.client.publishAsync(HOLD, '{"id":"old","minutes":30}', { qos: 1, retain: true });
    startChild();
    await until(() => outcomes().length === 1, 15_000);
    expect(outcomes()[0]).toMatchObject({ id: "old", accepted: false });
    await until(() => stranger.last(HOLD) === "");

    await stranger.client.publishAsync(HOLD, '{"id":"new","minutes":30}', { qos: 1, retain: true });
    await until(() => outcomes().length === 2);
    expect(outcomes()[1]).toMatchObject({ id: "new", accepted: false });
    await stranger.client.publishAsync(HOLD, '{"id":"right","minutes":30}', { qos: 1 });
    await until(() => outcomes().length === 3);
    expect(outcomes()[2]).toEqual({ id: "right", accepted: true, why: "Took hold." });
    await pause(100);
    const latecomer = await listen(port, HOLD);
    await pause(100);
    expect(latecomer.heard).toEqual([]);
    latecomer.client.end(true);
  });

  it("broker killed and started anew without memory: whole tree again", async () => {
    startChild();
    await until(() => stranger.last(`${TREE}/$state`) === "ready", 15_000);
    mosquitto.kill("SIGKILL");
    await ended(mosquitto);
    stranger.client.end(true);
    await startMosquitto();
    await until(() => stranger.last(`${TREE}/$state`) === "ready", 15_000);
    expect(stranger.last(`${TREE}/salinity/value`)).toBe("35.01");
  });
});

describeWith(["mosquitto-clients"], "read by a stranger with mosquitto_sub", () => {
  it("whole tree: one line each, printable, nothing empty, no NaN, undefined or null", async () => {
    const broker = await openBroker({ port: 0, tank: "reef-box" });
    const publisher = createPublisher(broker.client, { tank: "reef-box", name: "Reef box", alarms: [FLOOR_WET] });
    publisher.update(wellRecord(), CONTEXT, 0);
    await pause(200);
    const child = spawn("mosquitto_sub", [
      "-h",
      "127.0.0.1",
      "-p",
      `${broker.port}`,
      "-v",
      "-t",
      "homie/5/#",
      "-W",
      "2",
    ]);
    let text = "";
    child.stdout.on("data", (chunk) => {
      text += chunk;
    });
    await ended(child);
    await broker.close();
    const lines = text.trim().split("\n");
    expect(lines).toContain(`${TREE}/box/sentence All is well.`);
    expect(lines).toContain(`${TREE}/temperature/value 25.05`);
    expect(lines).toContain(`${TREE}/working-float/position full`);
    expect(lines).toContain(`${TREE}/top-off/why The water stands at its mark.`);
    // Every line has a topic and something said; nothing is empty, cut or unprintable.
    for (const line of lines) expect(line).toMatch(/^homie\/5\/reef-box\/\S+ [\x20-\x7e°±–]+$/u);
    // What is JSON knows null, and says nothing else that is no value.
    const isJson = (line: string) => /^\S+ \{/.test(line);
    for (const line of lines.filter(isJson)) expect(() => JSON.parse(line.replace(/^\S+ /, ""))).not.toThrow();
    const values = lines.filter((line) => !isJson(line)).join("\n");
    expect(values).not.toMatch(/NaN|undefined|null|Infinity/);
  });
});

it("broker of MQTT 3.1.1 only: connected, retained flag not shown", async () => {
  const broker: Broker = await openBroker({ port: 0, tank: "reef-box" });
  const client = connectToBroker(`mqtt://127.0.0.1:${broker.port}`, { will: lastWillOf("reef-box"), reconnectMs: 50 });
  try {
    await until(() => client.connected());
    expect(client.showsRetained).toBe(false);
    createIntake(client, "reef-box");
  } finally {
    await client.close();
    await broker.close();
  }
});

it("broker not there: publish false, no wait; there later: connected", async () => {
  const port = await freePort();
  const client = connectToBroker(`mqtt://127.0.0.1:${port}`, { will: lastWillOf("reef-box"), reconnectMs: 50 });
  const publisher = createPublisher(client, { tank: "reef-box", name: "Reef box", alarms: [FLOOR_WET] });
  publisher.update(wellRecord(), CONTEXT, 0);
  expect(client.publish("homie/5/reef-box/box/sentence", "Lost.", true)).toBe(false);
  const broker = await openBroker({ port, tank: "reef-box" });
  await until(() => client.connected());
  await client.close();
  await broker.close();
});
