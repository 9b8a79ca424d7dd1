import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { type IncomingHttpHeaders, request } from "node:http";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { connectAsync } from "mqtt";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { WebSocket } from "ws";
import { settingsWith } from "../../controller/decisions/calibration/effective.ts";
import { NO_VALUES } from "../../controller/decisions/calibration/memory.ts";
import { type Broker, createIntake, openBroker, type RequestIntake } from "../../controller/publish/index.ts";
import { type Served, startServe, tankAnswer } from "../../controller/serve/index.ts";
import type { HealthAnswer, ProbesAnswer } from "../../shared/contract/index.ts";
import { rehearsalSettings, settingsJsonSchema } from "../../shared/settings/index.ts";

let folder: string;
let broker: Broker;
let intake: RequestIntake;
let served: Served;
const asked: unknown[][] = [];
let probes: ProbesAnswer = { version: 1, connections: [], inputs: [] };
let calibration = NO_VALUES;
let health: HealthAnswer = { version: 1, healthy: true, sentence: "All is well.", scans: 7 };

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "evenbrine-serve-"));
  mkdirSync(join(folder, "dist/assets"), { recursive: true });
  writeFileSync(join(folder, "dist/index.html"), "<!doctype html><title>Box</title>");
  writeFileSync(join(folder, "dist/assets/index-AbCd1234.js"), "export {};");
  writeFileSync(join(folder, "dist/assets/index-AbCd1234.js.gz"), "compressed");
  writeFileSync(join(folder, "dist/.secret"), "hidden");
  writeFileSync(join(folder, "outside.txt"), "outside");
  broker = await openBroker({ port: 0, tank: "reef-box" });
  intake = createIntake(broker.client, "reef-box");
  served = await startServe({
    port: 0,
    tank: () => tankAnswer(settingsWith(rehearsalSettings(), calibration), "rehearsal", 60),
    history: {
      read: async (...query) => {
        asked.push(query);
        if (query[1] === 13) throw new Error("an inner secret");
        return { version: 1, atMs: [5], channels: { room: { min: [1], max: [2], last: [null] } } };
      },
    },
    handleMqttSocket: broker.accept,
    settingsSchema: settingsJsonSchema(),
    dashboardFolder: join(folder, "dist"),
    health: () => health,
    probes: () => probes,
  });
});
afterAll(async () => {
  await served.close();
  await broker.close();
  rmSync(folder, { recursive: true });
});

interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** Asks over a real socket, with whatever headers, as a page of somebody else's would. */
function ask(path: string, headers: Record<string, string> = {}, method = "GET", port = served.port): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asking = request({ host: "127.0.0.1", port, path, method, headers, agent: false }, (response) => {
      let body = "";
      response.setEncoding("utf8");
      response.on("data", (chunk) => {
        body += chunk;
      });
      response.on("end", () => resolve({ status: response.statusCode ?? 0, headers: response.headers, body }));
    });
    asking.on("error", reject);
    asking.end();
  });
}

describe("host and origin of a request", () => {
  it.each([
    [(port: number) => `127.0.0.1:${port}`, 200],
    [(port: number) => `localhost:${port}`, 200],
    [(port: number) => `LOCALHOST:${port}`, 200],
    [(port: number) => `[::1]:${port}`, 200],
    [() => "127.0.0.1", 421],
    [(port: number) => `127.0.0.1:${port + 1}`, 421],
    [(port: number) => `evil.example:${port}`, 421],
    [(port: number) => `127.0.0.1.evil.example:${port}`, 421],
    [(port: number) => `localhost:${port}@evil.example`, 421],
    [(port: number) => `localhost:${port}.`, 421],
  ])("host %o: %d", async (host, status) => {
    for (const path of ["/", "/api/v1/tank", "/assets/index-AbCd1234.js", "/nothing"]) {
      const answer = await ask(path, { host: host(served.port) });
      expect(answer.status).toBe(status === 200 && path === "/nothing" ? 404 : status);
    }
  });

  it.each([
    [(port: number) => `http://127.0.0.1:${port}`, 200],
    [(port: number) => `http://localhost:${port}`, 200],
    [(port: number) => `https://localhost:${port}`, 403],
    [(port: number) => `http://localhost:${port + 1}`, 403],
    [() => "http://localhost", 403],
    [() => "http://evil.example", 403],
    [(port: number) => `http://localhost:${port}.evil.example`, 403],
    [() => "null", 403],
    [() => "", 403],
  ])("origin %o, over HTTP and WebSocket: %d", async (origin, status) => {
    const headers = { origin: origin(served.port) };
    expect((await ask("/api/v1/tank", headers)).status).toBe(status);
    expect(await openingOf("/mqtt", ["mqtt"], headers)).toBe(status === 200 ? "open" : status);
  });

  it("no host: 421", async () => {
    const socket = connect(served.port, "127.0.0.1");
    socket.write("GET /api/v1/tank HTTP/1.0\r\n\r\n");
    const head = await new Promise<string>((resolve) => socket.once("data", (chunk) => resolve(chunk.toString())));
    expect(head).toMatch(/^HTTP\/1\.1 421 /);
    socket.destroy();
  });

  it("foreign host that page and origin agree on, WebSocket: 421", async () => {
    const host = `evil.example:${served.port}`;
    expect(await openingOf("/mqtt", ["mqtt"], { host, origin: `http://${host}` })).toBe(421);
  });

  it("WebSocket elsewhere: 404; without the subprotocol mqtt: 400; with it among others: open", async () => {
    expect(await openingOf("/other", ["mqtt"], {})).toBe(404);
    expect(await openingOf("/mqtt", [], {})).toBe(400);
    expect(await openingOf("/mqtt", ["chat"], {})).toBe(400);
    expect(await openingOf("/mqtt", ["chat", "mqtt"], {})).toBe("open");
  });

  it("POST, PUT, DELETE or OPTIONS: 404 or 405", async () => {
    for (const method of ["POST", "PUT", "DELETE", "OPTIONS"]) {
      const { status } = await ask("/api/v1/tank", { "content-length": "0" }, method);
      expect([404, 405]).toContain(status);
    }
  });
});

/** `"open"`, or the status with which the opening was refused. */
function openingOf(path: string, protocols: string[], headers: Record<string, string>): Promise<"open" | number> {
  return new Promise((resolve, reject) => {
    const socket = new WebSocket(`ws://127.0.0.1:${served.port}${path}`, protocols, { headers });
    socket.once("open", () => {
      socket.terminate();
      resolve("open");
    });
    socket.once("unexpected-response", (_, response) => resolve(response.statusCode ?? 0));
    socket.once("error", reject);
  });
}

describe("answers by path", () => {
  it("/: page with no-cache; an asset: immutable for a year, gzip where accepted", async () => {
    const page = await ask("/");
    expect([page.status, page.headers["cache-control"]]).toEqual([200, "no-cache"]);
    expect(page.body).toContain("<title>Box</title>");
    const asset = await ask("/assets/index-AbCd1234.js");
    expect(asset.headers["cache-control"]).toBe("public, max-age=31536000, immutable");
    expect(asset.headers["content-type"]).toMatch(/javascript/);
    const compressed = await ask("/assets/index-AbCd1234.js", { "accept-encoding": "gzip" });
    expect([compressed.headers["content-encoding"], compressed.body]).toEqual(["gzip", "compressed"]);
  });

  it.each(["/../outside.txt", "/%2e%2e/outside.txt", "/..%2foutside.txt", "/.secret", "/assets/"])(
    "path out of the dashboard's folder: 4xx, nothing of it: %s",
    async (path) => {
      const { status, body } = await ask(path);
      expect(status).toBeGreaterThanOrEqual(400);
      expect(body).not.toMatch(/outside|hidden/);
    },
  );

  it("any path, refused ones too: content policy of self and this WebSocket, nosniff, no x-powered-by", async () => {
    for (const [path, host] of [
      ["/", ""],
      ["/api/v1/tank", ""],
      ["/nothing", ""],
      ["/", "evil.example"],
    ] as const) {
      const { headers } = await ask(path, host === "" ? {} : { host });
      expect(headers["content-security-policy"]).toMatch(/^default-src 'none'; script-src 'self'; style-src 'self';/);
      expect(headers["content-security-policy"]).toContain(`ws://127.0.0.1:${served.port}`);
      expect(headers["content-security-policy"]).not.toMatch(/unsafe|\*/);
      expect(headers["x-content-type-options"]).toBe("nosniff");
      expect(headers["x-powered-by"]).toBeUndefined();
    }
  });

  it("/api/v1/tank: rehearsal at speed 60, targets, geometry, alarms, cautions, no-store", async () => {
    const { status, body, headers } = await ask("/api/v1/tank");
    expect(status).toBe(200);
    expect(headers["cache-control"]).toBe("no-store");
    expect(JSON.parse(body)).toMatchObject({
      version: 1,
      tank: "reef-box",
      water: "rehearsal",
      speed: 60,
      mqttPath: "/mqtt",
      targets: { salinity: 35, salinityBand: [34, 36], salinityLimits: [33, 37], temperatureBandC: [23, 28] },
      geometry: { netVolumeL: 140, reservoirL: 10 },
    });
    expect(JSON.parse(body).alarms.length).toBeGreaterThan(5);
    expect(JSON.parse(body).cautions.length).toBeGreaterThan(3);
  });

  it("/api/v1/tank, high float calibrated to 75 mm: 75 mm", async () => {
    const heights = async () => JSON.parse((await ask("/api/v1/tank")).body).geometry;
    expect(await heights()).toMatchObject({ highFloatMm: 70, lowFloatMm: -60 });
    calibration = { ...NO_VALUES, "high-float-mm": { value: 75, doubt: 2, number: 1 } };
    expect(await heights()).toMatchObject({ highFloatMm: 75, lowFloatMm: -60 });
    calibration = NO_VALUES;
  });

  it("/api/v1/settings-schema: JSON schema of an object", async () => {
    const { body, headers } = await ask("/api/v1/settings-schema");
    expect(headers["content-type"]).toMatch(/^application\/schema\+json/);
    expect(JSON.parse(body)).toMatchObject({ type: "object", additionalProperties: false });
  });

  it("/api/v1/probes: as of now, no-store; foreign origin: 403", async () => {
    probes = {
      version: 1,
      connections: ["Board io on /dev/ttyACM0: ready."],
      inputs: ["thermometer 1: 25.00 °C, 12 ms ago."],
    };
    const { status, body, headers } = await ask("/api/v1/probes");
    expect(status).toBe(200);
    expect(JSON.parse(body)).toEqual(probes);
    expect(headers["cache-control"]).toBe("no-store");
    probes = { version: 1, connections: ["Board io on /dev/ttyACM0: the port failed."], inputs: [] };
    expect(JSON.parse((await ask("/api/v1/probes")).body)).toEqual(probes);
    expect((await ask("/api/v1/probes", { origin: "http://elsewhere.example" })).status).toBe(403);
  });

  it("/api/v1/health: 200 when healthy; not: 503 with the sentence", async () => {
    expect(await ask("/api/v1/health")).toMatchObject({ status: 200 });
    health = { ...health, healthy: false, sentence: "Water on the floor." };
    const { status, body } = await ask("/api/v1/health");
    expect([status, JSON.parse(body).sentence]).toEqual([503, "Water on the floor."]);
  });

  it("/api/v1/history: channels, span and buckets passed on, 600 buckets by default", async () => {
    const { status, body } = await ask("/api/v1/history?channels=room,salinity&fromMs=0&toMs=60000&buckets=3");
    expect(status).toBe(200);
    expect(JSON.parse(body).channels.room.last).toEqual([null]);
    expect(asked.at(-1)).toEqual([["room", "salinity"], 0, 60_000, 3]);
    await ask("/api/v1/history?channels=room&fromMs=0&toMs=60000");
    expect(asked.at(-1)?.[3]).toBe(600);
  });

  it.each([
    ["", /channels/],
    ["channels=room", /fromMs/],
    ["channels=&fromMs=0&toMs=1", /channels/],
    ["channels=pool&fromMs=0&toMs=1", /channels/],
    ["channels=room,room&fromMs=0&toMs=1", /channels/],
    ["channels=room&channels=room&fromMs=0&toMs=1", /channels/],
    ["channels=room&fromMs=1&toMs=1", /toMs.*later/],
    ["channels=room&fromMs=0&toMs=1e9", /toMs/],
    ["channels=room&fromMs=0&toMs=99999999999999", /toMs.*400 days/],
    ["channels=room&fromMs=0&toMs=1&buckets=1501", /buckets/],
    ["channels=room&fromMs=0&toMs=1&buckets=0", /buckets/],
    ["channels=room&fromMs=0&toMs=1&buckets=NaN", /buckets/],
    ["channels=room&fromMs=0&toMs=1&smooth=1", /"smooth"/],
    ["channels=__proto__&fromMs=0&toMs=1", /channels/],
  ])("/api/v1/history?%s: 400, says why", async (query, why) => {
    const before = asked.length;
    const { status, body } = await ask(`/api/v1/history?${query}`);
    expect(status).toBe(400);
    expect(JSON.parse(body)).toEqual({ version: 1, why: expect.stringMatching(why) });
    expect(asked).toHaveLength(before);
  });

  it("history throws: 500 without its message", async () => {
    const { status, body } = await ask("/api/v1/history?channels=room&fromMs=13&toMs=99999");
    expect(status).toBe(500);
    expect(JSON.parse(body)).toEqual({ version: 1, why: "The controller could not answer this." });
  });

  it("/api/v2/tank: 404, nothing here", async () => {
    expect(JSON.parse((await ask("/api/v2/tank")).body)).toEqual({ version: 1, why: "There is nothing here." });
  });
});

describe("MQTT over the page's WebSocket", () => {
  it("subscribes and asks: retained sentence heard, hold taken over the network, broken request refused", async () => {
    broker.client.publish("homie/5/reef-box/box/sentence", "All is well.", true);
    const page = await connectAsync(`ws://127.0.0.1:${served.port}/mqtt`, {
      protocolVersion: 4,
      wsOptions: { origin: `http://127.0.0.1:${served.port}` },
    });
    const heard: string[] = [];
    page.on("message", (topic, payload) => heard.push(`${topic} ${payload}`));
    await page.subscribeAsync("homie/5/reef-box/#");
    await page.publishAsync("homie/5/reef-box/request/hold/set", '{"id":"p1","minutes":30}', { qos: 1 });
    await page.publishAsync("homie/5/reef-box/request/hold/set", "{", { qos: 1 });
    const end = performance.now() + 5_000;
    while (heard.length < 3 && performance.now() < end) await new Promise((resolve) => setTimeout(resolve, 10));
    expect(heard).toContain("homie/5/reef-box/box/sentence All is well.");
    expect(heard.find((line) => line.includes("request/outcome"))).toMatch(/"accepted":false.*not JSON/);
    expect(intake.take()).toEqual([{ kind: "hold", id: "p1", minutes: 30, at: "network" }]);
    await page.endAsync(true);
  });
});

describe("start of the web server", () => {
  const options = () => ({
    port: 0,
    tank: () => tankAnswer(rehearsalSettings(), "rehearsal", 1),
    history: { read: () => Promise.reject(new Error("not asked")) },
    handleMqttSocket: () => false,
    settingsSchema: {},
    dashboardFolder: join(folder, "nowhere"),
  });

  it("port taken: rejects with EADDRINUSE", async () => {
    await expect(startServe({ ...options(), port: served.port })).rejects.toMatchObject({ code: "EADDRINUSE" });
  });

  it("dashboard not built: / is 503, says npm run build; health and probes not given: 404", async () => {
    const bare = await startServe(options());
    const { status, body } = await ask("/", {}, "GET", bare.port);
    expect([status, JSON.parse(body).why]).toEqual([503, expect.stringMatching(/npm run build/)]);
    expect((await ask("/api/v1/health", {}, "GET", bare.port)).status).toBe(404);
    expect((await ask("/api/v1/probes", {}, "GET", bare.port)).status).toBe(404);
    await bare.close();
  });

  it("closed with a page connected: socket closed within 1 s", async () => {
    const bare = await startServe({ ...options(), handleMqttSocket: broker.accept });
    const socket = new WebSocket(`ws://127.0.0.1:${bare.port}/mqtt`, ["mqtt"]);
    await new Promise((resolve) => socket.once("open", resolve));
    const closed = new Promise((resolve) => socket.once("close", resolve));
    const startMs = performance.now();
    await bare.close();
    await closed;
    expect(performance.now() - startMs).toBeLessThan(1_000);
  });
});
