import { connect as openSocket } from "node:net";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { MOST_CONNECTIONS, MOST_PACKET_BYTES, MOST_SUBSCRIPTIONS } from "../../controller/publish/broker.ts";
import {
  type Broker,
  createIntake,
  createPublisher,
  openBroker,
  type RequestIntake,
  treeOf,
} from "../../controller/publish/index.ts";
import { MOST_WAITING } from "../../controller/publish/requests.ts";
import { silent, wellRecord } from "../record/scan-record.ts";
import { CONTEXT, FLOOR_WET } from "./context.ts";
import { type Listener, listen, pause, until } from "./sockets.ts";

const TREE = "homie/5/reef-box";
const HOLD = `${TREE}/request/hold/set`;
const OUTCOME = `${TREE}/request/outcome`;
let broker: Broker;
let intake: RequestIntake;
let listeners: Listener[] = [];

beforeEach(async () => {
  broker = await openBroker({ port: 0, tank: "reef-box" });
  intake = createIntake(broker.client, "reef-box");
});
afterEach(async () => {
  for (const { client } of listeners) client.end(true);
  listeners = [];
  await broker.close();
});

async function join(filter = "#", options = {}): Promise<Listener> {
  const listener = await listen(broker.port, filter, options);
  listeners.push(listener);
  return listener;
}

const outcomes = ({ heard }: Listener) =>
  heard.filter(({ topic }) => topic === OUTCOME).map(({ payload }) => JSON.parse(payload));

describe("the embedded broker", () => {
  it("joins late: whole retained tree; value lost: its four topics as news; goodbye: disconnected", async () => {
    const publisher = createPublisher(broker.client, { tank: "reef-box", name: "Reef box", alarms: [FLOOR_WET] });
    publisher.update(wellRecord(), CONTEXT, 0);
    const stranger = await join();
    await until(() => stranger.last(`${TREE}/$state`) === "ready");
    const told = [...treeOf(wellRecord(), CONTEXT).values()].filter((text) => text !== "").length;
    await until(() => stranger.heard.length === told + 2);
    expect(stranger.last(`${TREE}/temperature/value`)).toBe("25.05");
    expect(stranger.heard.every(({ retained }) => retained)).toBe(true);
    expect(stranger.heard.some(({ topic }) => topic.endsWith("/doubt"))).toBe(false);

    const before = stranger.heard.length;
    const bad = wellRecord({ quantities: { ...wellRecord().quantities, temperature: silent(25.05) } });
    publisher.update(bad, CONTEXT, 100);
    await until(() => stranger.last(`${TREE}/temperature/doubt`) === "does not answer");
    expect(stranger.heard.slice(before).map(({ topic, payload, retained }) => [topic, payload, retained])).toEqual([
      [`${TREE}/temperature/value`, "", false],
      [`${TREE}/temperature/quality`, "bad", false],
      [`${TREE}/temperature/doubt`, "does not answer", false],
      [`${TREE}/temperature/uncertainty`, "", false],
    ]);
    const latecomer = await join();
    await until(() => latecomer.last(`${TREE}/temperature/quality`) === "bad");
    expect(latecomer.last(`${TREE}/temperature/value`)).toBeUndefined();
    await until(() => latecomer.last(`${TREE}/temperature/last-value`) === "25.05");

    publisher.goodbye();
    publisher.update(wellRecord(), CONTEXT, 10_000);
    await broker.close();
    await until(() => !stranger.client.connected);
    expect(stranger.last(`${TREE}/$state`)).toBe("disconnected");
  });

  it("80 scans in 20 s, nothing changes: clock once a second, count and measuring times within 4 rounds, nothing else", async () => {
    const publisher = createPublisher(broker.client, { tank: "reef-box", name: "Reef box", alarms: [FLOOR_WET] });
    const stranger = await join();
    publisher.update(wellRecord(), CONTEXT, 0);
    await until(() => stranger.last(`${TREE}/$state`) === "ready");
    const before = stranger.heard.length;
    for (let scan = 1; scan <= 80; scan += 1) {
      const scans = { ...CONTEXT.scans, count: scan };
      publisher.update(wellRecord({ scan }), { ...CONTEXT, nowMs: CONTEXT.nowMs + scan * 250, scans }, scan * 250);
    }
    await until(() => stranger.last(`${TREE}/box/clock`) === "2026-03-01T12:00:20Z");
    const news = stranger.heard.slice(before).map(({ topic }) => topic);
    expect(news.filter((topic) => topic.endsWith("/clock"))).toHaveLength(20);
    expect(news.filter((topic) => !/\/(clock|measured-at|count)$/.test(topic))).toEqual([]);
    expect(news.length).toBeLessThanOrEqual(20 + 4 * 15 + 4);
  });

  it("others publish into the tree: nothing arrives, nothing retained, still connected", async () => {
    const stranger = await join();
    for (const topic of [`${TREE}/temperature/value`, `${TREE}/$state`, OUTCOME, "elsewhere", `${HOLD}/more`]) {
      await stranger.client.publishAsync(topic, "99", { qos: 1, retain: true });
      await stranger.client.publishAsync(topic, "99", { qos: 2 });
    }
    await stranger.client.publishAsync("homie/5/other-box/request/hold/set", "{}", { qos: 1 });
    await pause(50);
    expect(stranger.heard).toEqual([]);
    expect(stranger.client.connected).toBe(true);
    const latecomer = await join();
    await pause(50);
    expect(latecomer.heard).toEqual([]);
  });

  it("same request three times: taken once over the network, answered again with its outcome, not retained", async () => {
    const page = await join();
    await page.client.publishAsync(HOLD, '{"id":"a1","minutes":30}', { qos: 1 });
    let taken: readonly unknown[] = [];
    await until(() => {
      taken = intake.take();
      return taken.length > 0;
    });
    expect(taken).toEqual([{ kind: "hold", id: "a1", minutes: 30, at: "network" }]);
    await page.client.publishAsync(HOLD, '{"id":"a1","minutes":30}', { qos: 1 });
    await pause(30);
    expect(intake.take()).toEqual([]);
    intake.answer([{ id: "a1", accepted: true, why: "Holding for 30 minutes." }]);
    await until(() => outcomes(page).length === 1);
    await page.client.publishAsync(HOLD, '{"id":"a1","minutes":30}', { qos: 1 });
    await until(() => outcomes(page).length === 2);
    expect(intake.take()).toEqual([]);
    expect(outcomes(page)[1]).toEqual({ id: "a1", accepted: true, why: "Holding for 30 minutes." });
    const latecomer = await join(OUTCOME);
    await pause(50);
    expect(latecomer.heard).toEqual([]);
  });

  it("retained request: refused with the reason, nothing taken, nothing left on its topic", async () => {
    const page = await join();
    await page.client.publishAsync(HOLD, '{"id":"a2","minutes":30}', { qos: 1, retain: true });
    await until(() => outcomes(page).length === 1);
    expect(outcomes(page)[0]).toMatchObject({ id: "a2", accepted: false });
    expect(outcomes(page)[0].why).toMatch(/^A retained request is refused/);
    expect(intake.take()).toEqual([]);
    expect(page.client.connected).toBe(true);
    const latecomer = await join(HOLD);
    await pause(50);
    expect(latecomer.heard).toEqual([]);
  });

  it("request as a last will, client cut off: not passed on, not taken", async () => {
    const will = { topic: HOLD, payload: Buffer.from('{"id":"a3","minutes":30}'), qos: 1, retain: false } as const;
    const doomed = await join("", { will });
    const page = await join();
    (doomed.client.stream as { destroy(): void }).destroy();
    await pause(100);
    expect(page.heard).toEqual([]);
    expect(intake.take()).toEqual([]);
  });

  it("one request more than a scan takes: that one refused, the others taken", async () => {
    const page = await join();
    for (let number = 0; number <= MOST_WAITING; number += 1) {
      await page.client.publishAsync(HOLD, JSON.stringify({ id: `b${number}`, minutes: 1 }), { qos: 1 });
    }
    await until(() => outcomes(page).length === 1);
    expect(outcomes(page)[0]).toMatchObject({ id: `b${MOST_WAITING}`, accepted: false });
    expect(intake.take()).toHaveLength(MOST_WAITING);
  });
});

describe("limits of the embedded broker", () => {
  it("packet one byte too long: its client cut off, others served", async () => {
    const big = await join();
    const closed = new Promise<void>((resolve) => big.client.once("close", () => resolve()));
    big.client.publish(HOLD, Buffer.alloc(MOST_PACKET_BYTES + 1, 0x20), { qos: 0 });
    await closed;
    const stillServed = await join();
    expect(stillServed.client.connected).toBe(true);
  });

  it("one connection more than allowed: closed; some gone: taken again", async () => {
    const sockets = Array.from({ length: MOST_CONNECTIONS }, () => openSocket(broker.port, "127.0.0.1"));
    await Promise.all(sockets.map((socket) => new Promise((resolve) => socket.once("connect", resolve))));
    const refused = openSocket(broker.port, "127.0.0.1");
    await new Promise((resolve) => refused.once("close", resolve));
    for (const socket of sockets) socket.destroy();
    await pause(50);
    expect((await join()).client.connected).toBe(true);
  });

  it("one subscription more than allowed, or one of $SYS: refused", async () => {
    const greedy = await join();
    const granted = await Promise.all(
      Array.from({ length: MOST_SUBSCRIPTIONS + 1 }, (_, number) =>
        greedy.client.subscribeAsync(`a/${number}`).then(
          () => true,
          () => false,
        ),
      ),
    );
    expect(granted.filter((one) => !one).length).toBeGreaterThan(0);
    await expect(greedy.client.subscribeAsync("$SYS/#")).rejects.toThrow();
  });

  it("bytes that are no MQTT: socket closed, others served", async () => {
    for (const bytes of [Buffer.from("GET / HTTP/1.1\r\n\r\n"), Buffer.alloc(1_000, 0xff), Buffer.of(0x10, 0)]) {
      const socket = openSocket(broker.port, "127.0.0.1");
      socket.on("error", () => undefined);
      socket.write(bytes);
      await new Promise((resolve) => socket.once("close", resolve));
    }
    expect((await join()).client.connected).toBe(true);
  });

  it("client that reads nothing, 400 messages of 50 kB: another gets the last one", { timeout: 30_000 }, async () => {
    const frozen = await join();
    (frozen.client.stream as unknown as { pause(): void }).pause();
    const page = await join(`${TREE}/box/sentence`);
    const text = "x".repeat(50_000);
    for (let number = 0; number < 400; number += 1) {
      broker.client.publish(`${TREE}/box/sentence`, `${number} ${text}`, true);
    }
    await until(() => page.last(`${TREE}/box/sentence`)?.startsWith("399 ") === true, 15_000);
  });
});
