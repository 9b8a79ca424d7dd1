import { describe, expect, it } from "vitest";
import { topicMatches } from "../../controller/publish/client.ts";
import { createIntake, type MessageClient } from "../../controller/publish/index.ts";
import { packetMeasure } from "../../controller/publish/packet-limit.ts";
import { readRequest } from "../../controller/publish/request-schema.ts";

describe("request read from a network message", () => {
  it.each([
    ["hold", '{"id":"a1","minutes":30}', { minutes: 30 }],
    ["end-hold", '{"id":"a1"}', { answer: null }],
    ["end-hold", '{"id":"a1","answer":"evaporation"}', { answer: "evaporation" }],
    ["acknowledge", '{"id":"a1","alarm":"all"}', { alarm: "all" }],
    ["clear", '{"id":"a1","machine":"heat","occurrence":2}', { machine: "heat", occurrence: 2 }],
    ["hand-test", '{"id":"a1","salinity":35.2}', { salinity: 35.2 }],
    ["reservoir-test", '{"id":"a1","salinity":0}', { salinity: 0 }],
    ["refill", '{"id":"a1","litres":8}', { litres: 8 }],
    ["cartridge-changed", '{"id":"a1"}', {}],
    ["absence", '{"id":"a1","fromH":0,"toH":336}', { fromH: 0, toH: 336 }],
    ["end-absence", '{"id":"a1"}', {}],
    ["trust", '{"id":"a1","part":"thermometer-2"}', { part: "thermometer-2" }],
    ["at-tank", '{"id":"a1","minutes":30}', { minutes: 30 }],
    ["prove", '{"id":"a1","part":"siphon","seconds":30}', { part: "siphon", seconds: 30 }],
    ["end-run", '{"id":"a1"}', {}],
    ["proven", '{"id":"a1","part":"high-float","by":"Zoë K."}', { part: "high-float", by: "Zoë K." }],
    ["proven", '{"id":"a1","part":"siphon","ml":5,"backward":false}', { part: "siphon", ml: 5, backward: false }],
    ["calibrate", '{"id":"a1","step":"begin","session":"conductivity"}', { step: "begin", session: "conductivity" }],
    ["calibrate", '{"id":"a1","step":"dry"}', { step: "dry" }],
    ["proven", '{"id":"a1","part":"pump-off-level","mm":62}', { part: "pump-off-level", mm: 62 }],
    ["calibrate", '{"id":"a1","step":"watch"}', { step: "watch" }],
    [
      "calibrate",
      '{"id":"a1","step":"standard","standard":"label","labelMsPerCm":53,"labelC":25,"lot":"B-7/24"}',
      { step: "standard", standard: "label", labelMsPerCm: 53, labelC: 25, lot: "B-7/24" },
    ],
    [
      "calibrate",
      '{"id":"a1","step":"mark","mark":"high-float-mm","mm":72}',
      { mark: "high-float-mm", mm: 72, step: "mark" },
    ],
    ["undo-calibration", '{"id":"a1","number":3}', { number: 3 }],
  ])("%s %s: %j", (kind, payload, expected) => {
    expect(readRequest(kind, payload)).toEqual({ request: { kind, id: "a1", at: "network", ...expected } });
  });

  it.each([
    ["hold", "", "", /^The request is not JSON\. It looks like \{"id":"a1","minutes":30\}\.$/],
    ["hold", "{", "", /not JSON/],
    ["hold", "null", "", /^The request is wrong: /],
    ["hold", "[]", "", /^The request is wrong: /],
    ["hold", '{"id":"a1"}', "a1", /^Its field "minutes" is wrong: /],
    ["hold", '{"id":"a1","minutes":0}', "a1", /"minutes"/],
    ["hold", '{"id":"a1","minutes":241}', "a1", /"minutes"/],
    ["hold", '{"id":"a1","minutes":"30"}', "a1", /"minutes"/],
    ["hold", '{"id":"a1","minutes":1e999}', "a1", /"minutes"/],
    ["hold", '{"id":"","minutes":30}', "", /^Its field "id" is wrong: 1 to 64 characters/],
    ["hold", `{"id":"${"a".repeat(65)}","minutes":30}`, "", /"id"/],
    ["hold", '{"id":7,"minutes":30}', "", /"id"/],
    ["hold", '{"id":"a1","minutes":30,"at":"tank"}', "a1", /^It has no field called "at"\./],
    ["clear", '{"id":"a1","machine":"pump","occurrence":1}', "a1", /"machine"/],
    ["clear", '{"id":"a1","machine":"heat","occurrence":1.5}', "a1", /"occurrence"/],
    ["hand-test", '{"id":"a1","salinity":43}', "a1", /"salinity"/],
    ["reservoir-test", '{"id":"a1","salinity":-1}', "a1", /"salinity"/],
    ["refill", '{"id":"a1","litres":-1}', "a1", /"litres"/],
    ["at-tank", '{"id":"a1","minutes":61}', "a1", /"minutes"/],
    ["prove", '{"id":"a1","part":"high-float","seconds":30}', "a1", /"part"/],
    ["proven", '{"id":"a1","part":"high-float","by":"\\u001b[2J"}', "a1", /"by" is wrong: 1 to 40 letters/],
    ["proven", '{"id":"a1","part":"high-float","by":""}', "a1", /"by"/],
    ["calibrate", '{"id":"a1","step":"dip"}', "a1", /"step"/],
    ["calibrate", '{"id":"a1","step":"dry","standard":"label"}', "a1", /no field called "standard"/],
    ["calibrate", '{"id":"a1","step":"reference","referenceC":null}', "a1", /"referenceC"/],
    ["undo-calibration", '{"id":"a1","number":0}', "a1", /"number"/],
    ["holdd", '{"id":"a1"}', "", /^There is no request called "holdd": hold, end-hold/],
    ["__proto__", "{}", "", /^There is no request called/],
  ])("%s %s: refused, id %j, %s", (kind, payload, id, why) => {
    expect(readRequest(kind, payload)).toMatchObject({ request: null, id });
    expect(readRequest(kind, payload)).toMatchObject({ why: expect.stringMatching(why) });
  });
});

/** A client without a broker, which records what goes out and lets a test bring something in. */
function fakeClient(showsRetained: boolean) {
  const out: [topic: string, payload: string, retain: boolean][] = [];
  let take: Parameters<MessageClient["subscribe"]>[1] = () => undefined;
  const client: MessageClient = {
    showsRetained,
    connected: () => true,
    onConnect: (listener) => listener(),
    publish: (...message) => out.push(message) > 0,
    subscribe: (_, taker) => {
      take = taker;
    },
    close: () => Promise.resolve(),
  };
  const arrive = (payload: string, retained = false, kind = "hold", tooMany = false) =>
    take({ topic: `homie/5/reef-box/request/${kind}/set`, payload, retained, tooMany });
  return { client, out, arrive };
}

const hold = (id: string): string => JSON.stringify({ id, minutes: 30 });
const SET = "homie/5/reef-box/request/hold/set";

/** An intake, what it passed on, and what it told. */
function opened(showsRetained = true) {
  const made = fakeClient(showsRetained);
  const forwarded: string[] = [];
  const intake = createIntake(made.client, "reef-box", (kind, payload) => forwarded.push(`${kind} ${payload}`));
  const told = () => made.out.filter(([topic]) => topic !== SET).map(([, payload]) => JSON.parse(payload));
  return { ...made, intake, forwarded, told };
}

describe("the intake", () => {
  it("passes on whatever may be a request, unread: it is read where it is decided", () => {
    const { arrive, forwarded, told } = opened();
    arrive(hold("a1"));
    arrive("{");
    arrive("");
    expect(forwarded).toEqual([`hold ${hold("a1")}`, "hold {", "hold "]);
    expect(told()).toEqual([]);
  });

  it("clears the topic of a retained request and refuses it by its id, readable or not", () => {
    const { out, arrive, forwarded, told } = opened();
    arrive(hold("a1"), true);
    arrive("garbage", true);
    arrive("null", true);
    arrive("", true);
    expect(forwarded).toEqual([]);
    expect(out.filter(([topic]) => topic === SET)).toEqual(Array(3).fill([SET, "", true]));
    expect(told().map(({ id, accepted }) => [id, accepted])).toEqual([
      ["a1", false],
      ["", false],
      ["", false],
    ]);
  });

  it("clears the topic after every request where the broker does not show what was retained", () => {
    const { out, arrive, forwarded } = opened(false);
    arrive(hold("a1"));
    arrive("");
    expect(forwarded).toHaveLength(1);
    expect(out).toEqual([[SET, "", true]]);
  });

  it("refuses a request that is far too long without reading it", () => {
    const { arrive, forwarded, told } = opened();
    arrive(`{"id":"a1","minutes":30,"x":"${"y".repeat(5_000)}"}`);
    expect(forwarded).toEqual([]);
    expect(told()).toEqual([{ id: "", accepted: false, why: "The request is too long.", stored: true }]);
  });

  it("refuses by its id what its sender has asked too much, and says where one is heard", () => {
    const { arrive, forwarded, told } = opened();
    arrive(hold("a1"), false, "hold", true);
    expect(forwarded).toEqual([]);
    expect(told()).toMatchObject([{ id: "a1", accepted: false, why: expect.stringMatching(/At the tank/) }]);
  });

  it("answers the same id as often as it is told to: it remembers nothing", () => {
    const { intake, told } = opened();
    const answer = { id: "a1", accepted: true, why: "Done.", stored: false };
    intake.answer([answer]);
    intake.answer([{ ...answer, stored: true }]);
    expect(told()).toEqual([answer, { ...answer, stored: true }]);
  });
});

// MQTT Version 3.1.1 (OASIS, 29 October 2014), section 4.7.1: the examples given there.
describe("topic filter of MQTT 3.1.1", () => {
  it.each([
    ["sport/tennis/player1/#", "sport/tennis/player1", true],
    ["sport/tennis/player1/#", "sport/tennis/player1/score/wimbledon", true],
    ["sport/tennis/+", "sport/tennis/player1", true],
    ["sport/tennis/+", "sport/tennis/player1/ranking", false],
    ["sport/+", "sport", false],
    ["sport/+", "sport/", true],
    ["+", "/finance", false],
    ["/+", "/finance", true],
    ["+/+", "/finance", true],
  ])("%s and %s: %s", (filter, topic, expected) => {
    expect(topicMatches(filter, topic)).toBe(expected);
  });
});

// The same standard, section 2.2.3, table 2.4: the remaining length in one to four bytes.
describe("packet measure of MQTT 3.1.1", () => {
  const packet = (length: number[], body: number) => Buffer.concat([Buffer.of(0x30, ...length), Buffer.alloc(body)]);
  const measure = (most: number) => packetMeasure((_, bytes) => bytes <= most);

  it.each([
    ["127 in one byte", [0x7f], 127, 129, true],
    ["128 in two bytes", [0x80, 0x01], 128, 131, true],
    ["16,384 in three bytes", [0x80, 0x80, 0x01], 16_384, 16_388, true],
    ["one more than allowed", [0x81, 0x80, 0x01], 0, 16_388, false],
    ["268,435,455 announced", [0xff, 0xff, 0xff, 0x7f], 0, 65_536, false],
    ["a length in five bytes", [0x80, 0x80, 0x80, 0x80, 0x01], 0, 2 ** 40, false],
  ])("%s, length bytes %j, %d long, %d allowed: %s", (_, length, body, most, expected) => {
    const bytes = packet(length, body);
    expect(measure(most)(bytes)).toBe(expected);
    const byteByByte = measure(most);
    expect([...bytes].every((byte) => byteByByte(Buffer.of(byte)))).toBe(expected);
    if (expected) expect(measure(most)(Buffer.concat([bytes, bytes, bytes]))).toBe(true);
  });

  it("asks once for each packet, with its type and its whole length, at its head", () => {
    const heads: number[][] = [];
    const three = Buffer.concat([Buffer.of(0xc0, 0), packet([0x80, 0x01], 128), Buffer.of(0x40, 2, 0, 1)]);
    packetMeasure((...head) => heads.push(head) > 0)(three);
    expect(heads).toEqual([
      [12, 2],
      [3, 131],
      [4, 4],
    ]);
  });
});
