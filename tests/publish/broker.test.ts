import { connect as openSocket } from "node:net";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { MOST_SUBSCRIPTIONS } from "../../controller/publish/broker.ts";
import { GUEST_LIMITS } from "../../controller/publish/guests.ts";
import {
  type Broker,
  createIntake,
  createPublisher,
  type Intake,
  openBroker,
  treeOf,
} from "../../controller/publish/index.ts";
import { silent, wellRecord } from "../record/scan-record.ts";
import { CONTEXT, FLOOR_WET } from "./context.ts";
import { type Listener, listen, pause, until } from "./sockets.ts";

const TREE = "homie/5/reef-box";
const HOLD = `${TREE}/request/hold/set`;
const OUTCOME = `${TREE}/request/outcome`;
let broker: Broker;
let intake: Intake;
let forwarded: string[] = [];
let listeners: Listener[] = [];

beforeEach(async () => {
  broker = await openBroker({ port: 0, tank: "reef-box" });
  forwarded = [];
  intake = createIntake(broker.client, "reef-box", (kind, payload) => forwarded.push(`${kind} ${payload}`));
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

  it("passes a request on, as often as it is asked, and its answer back", async () => {
    const page = await join();
    const ask = '{"id":"a1","minutes":30}';
    await page.client.publishAsync(HOLD, ask, { qos: 1 });
    await page.client.publishAsync(HOLD, ask, { qos: 1 });
    await until(() => forwarded.length === 2);
    expect(forwarded).toEqual([`hold ${ask}`, `hold ${ask}`]);
    intake.answer([{ id: "a1", accepted: true, why: "Holding for 30 minutes.", stored: true }]);
    await until(() => outcomes(page).length === 1);
    expect(outcomes(page)[0]).toEqual({ id: "a1", accepted: true, why: "Holding for 30 minutes.", stored: true });
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
    expect(forwarded).toEqual([]);
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
    expect(forwarded).toEqual([]);
  });
});

describe("limits of the embedded broker", () => {
  it("packet one byte too long: its client cut off, others served", async () => {
    const big = await join();
    const closed = new Promise<void>((resolve) => big.client.once("close", () => resolve()));
    big.client.publish(HOLD, Buffer.alloc(GUEST_LIMITS.packetBytes + 1, 0x20), { qos: 0 });
    await closed;
    const stillServed = await join();
    expect(stillServed.client.connected).toBe(true);
  });

  it("takes no more than so many connections, and new ones when some are gone", async () => {
    const sockets = Array.from({ length: GUEST_LIMITS.connections }, () => openSocket(broker.port, "127.0.0.1"));
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

  it("does not let a client that takes nothing stop the others", { timeout: 30_000 }, async () => {
    const frozen = await freeze(await join());
    const page = await join(`${TREE}/box/sentence`);
    const text = "x".repeat(50_000);
    for (let number = 0; number < 400; number += 1) {
      broker.client.publish(`${TREE}/box/sentence`, `${number} ${text}`, true);
      await until(() => page.last(`${TREE}/box/sentence`)?.startsWith(`${number} `) === true, 15_000);
    }
    // What waits for it is bounded, long before its patience of five seconds is over.
    expect(await frozen.isDropped()).toBe(true);
  });

  it("drops a client that asks more than its allowance, tells it so before, and hears the others", async () => {
    const greedy = await join();
    const modest = await join();
    let isDropped = false;
    greedy.client.once("close", () => (isDropped = true));
    for (let number = 0; number < 200 && !isDropped; number += 1) {
      greedy.client.publish(HOLD, JSON.stringify({ id: `g${number}`, minutes: 1 }), { qos: 0 });
      await pause(2);
    }
    expect(isDropped).toBe(true);
    const { requests, refusals } = GUEST_LIMITS;
    const [passedOn, told] = [forwarded.length, outcomes(modest)];
    expect(passedOn).toBeGreaterThanOrEqual(requests.burst);
    expect(passedOn).toBeLessThanOrEqual(requests.burst + 5);
    expect(told.length).toBeGreaterThanOrEqual(refusals.burst);
    expect(told.length).toBeLessThanOrEqual(refusals.burst + 5);
    expect(told[0].why).toMatch(/Too many requests/);
    await modest.client.publishAsync(HOLD, '{"id":"m1","minutes":1}', { qos: 1 });
    await until(() => forwarded.at(-1)?.includes("m1") === true);
    expect(modest.client.connected).toBe(true);
  });

  // PUBLISH at QoS 0 with the topic "a" and no payload is the smallest there is: five bytes (MQTT 3.1.1, section 3.3).
  it("drops four connections with 3,000 five-byte packets beside a subscriber of everything that stops reading", async () => {
    const frozen = await freeze(await join("#"));
    const witness = await join(`${TREE}/box/sentence`);
    const small = Buffer.concat(Array.from({ length: 3_000 }, () => Buffer.of(0x30, 0x03, 0x00, 0x01, 0x61)));
    const attackers = await Promise.all(Array.from({ length: 4 }, () => join("")));
    const dropped = attackers.map(
      ({ client }) => new Promise<void>((resolve) => client.once("close", () => resolve())),
    );
    for (const { client } of attackers) (client.stream as unknown as { write(bytes: Buffer): void }).write(small);
    await Promise.all(dropped);
    broker.client.publish(`${TREE}/box/sentence`, "Still here.", true);
    await until(() => witness.last(`${TREE}/box/sentence`) === "Still here.");
    expect((await join()).client.connected).toBe(true);
    frozen.client.end(true);
  });

  it("where all together send too much, drops whoever sent most, and keeps who sent little", async () => {
    const quiet = await join();
    const loud = await Promise.all(Array.from({ length: 8 }, () => join("")));
    const ping = Buffer.concat(Array.from({ length: 100 }, () => Buffer.of(0xc0, 0)));
    for (const { client } of loud) (client.stream as unknown as { write(bytes: Buffer): void }).write(ping);
    await until(() => loud.some(({ client }) => !client.connected));
    broker.client.publish(`${TREE}/box/sentence`, "Still here.", true);
    await until(() => quiet.last(`${TREE}/box/sentence`) === "Still here.");
    expect(quiet.client.connected).toBe(true);
  });
});

/** Stops reading from its socket, for good. */
async function freeze(listener: Listener) {
  const stream = listener.client.stream as unknown as { pause(): void; resume(): void };
  stream.pause();
  return {
    client: listener.client,
    async isDropped() {
      const closed = new Promise<boolean>((resolve) => listener.client.once("close", () => resolve(true)));
      stream.resume();
      return Promise.race([closed, pause(3_000).then(() => false)]);
    },
  };
}
