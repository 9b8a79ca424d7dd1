import { describe, expect, test } from "vitest";
import { createInbox, GRANTED_ALLOWANCE, MOST_AT_TANK, MOST_FROM_NETWORK } from "../../controller/run/inbox.ts";
import type { HoldRequest, Outcome } from "../../shared/contract/index.ts";

const atTank = (id: string): HoldRequest => ({ kind: "hold", id, at: "tank", minutes: 30 });
const body = (id: string): string => JSON.stringify({ id, minutes: 30 });
const granted = (id: string): Outcome => ({ id, accepted: true, why: "Holding." });

/** An inbox on a clock that the test turns. */
function opened() {
  let atMs = 0;
  const inbox = createInbox(() => atMs);
  return { inbox, pass: (ms: number) => (atMs += ms) };
}

describe("requests that wait for the scan", () => {
  test("flooded over the network, hold asked at the tank: taken, and first", () => {
    const { inbox } = opened();
    for (let turn = 0; turn < 300; turn += 1) inbox.offerFromNetwork("hold", body(`n${turn}`));
    expect(inbox.offerAtTank(atTank("t"))).toBeNull();
    const taken = inbox.take();
    expect(taken[0]).toEqual(atTank("t"));
    expect(taken).toHaveLength(1 + MOST_FROM_NETWORK);
    expect(inbox.take()).toEqual([]);
  });

  test("one more over the network than may wait: refused with the way to the tank, the others stay", () => {
    const { inbox } = opened();
    for (let turn = 0; turn < MOST_FROM_NETWORK; turn += 1) {
      expect(inbox.offerFromNetwork("hold", body(`n${turn}`))).toBeNull();
    }
    const refused = inbox.offerFromNetwork("hold", body("late"));
    expect(refused).toMatchObject({ id: "late", accepted: false, why: expect.stringMatching(/At the tank/) });
    expect(inbox.take()).toHaveLength(MOST_FROM_NETWORK);
    expect(inbox.offerFromNetwork("hold", body("later"))).toBeNull();
  });

  test("one more at the tank than may wait: refused, bounded like everything", () => {
    const { inbox } = opened();
    for (let turn = 0; turn < MOST_AT_TANK; turn += 1) expect(inbox.offerAtTank(atTank(`t${turn}`))).toBeNull();
    expect(inbox.offerAtTank(atTank("late"))).toMatchObject({ id: "late", accepted: false });
  });

  test("what came over the network stands nowhere but there, whatever it says; what is no request is refused", () => {
    const { inbox } = opened();
    expect(inbox.offerFromNetwork("hold", body("n"))).toBeNull();
    expect(inbox.take()).toMatchObject([{ id: "n", at: "network" }]);
    const lying = inbox.offerFromNetwork("hold", '{"id":"x","minutes":5,"at":"tank"}');
    expect(lying).toMatchObject({ id: "x", accepted: false, why: expect.stringMatching(/"at"/) });
    expect(inbox.offerFromNetwork("dance", "{}")).toMatchObject({ accepted: false });
    expect(inbox.offerFromNetwork("hold", "{")).toMatchObject({ id: "", accepted: false });
    expect(inbox.take()).toEqual([]);
  });

  test("the same id twice: both go to the scan, which alone judges them", () => {
    const { inbox } = opened();
    inbox.offerFromNetwork("hold", body("n"));
    inbox.offerFromNetwork("hold", '{"id":"n","minutes":5}');
    expect(inbox.take()).toHaveLength(2);
  });
});

describe("what the disk is spared", () => {
  /** As many requests as are taken within a day, each granted by the scan. */
  function grantedInADay(decide: (id: string) => Outcome): number {
    const { inbox, pass } = opened();
    let taken = 0;
    for (let second = 0; second < 86_400; second += 1) {
      pass(1_000);
      for (let turn = 0; turn < 4; turn += 1) inbox.offerFromNetwork("refill", `{"id":"${second}-${turn}","litres":1}`);
      const requests = inbox.take();
      taken += requests.length;
      inbox.decided(requests.map(({ id }) => decide(id)));
    }
    return taken;
  }

  test("four a second that would all be granted: as many a day as the allowance, not 345,600", () => {
    const most = GRANTED_ALLOWANCE.burst + 86_400 * GRANTED_ALLOWANCE.perSecond;
    const taken = grantedInADay(granted);
    expect(taken).toBeGreaterThan(most - 5);
    // What waits for the same scan is granted together with the last one.
    expect(taken).toBeLessThanOrEqual(most * 4);
  });

  test("four a second that are all refused by the scan cost nothing, and use nothing up", () => {
    expect(grantedInADay((id) => ({ ...granted(id), accepted: false }))).toBe(4 * 86_400);
  });

  test("used up over the network: at the tank one is heard all the same, and a minute later over the network", () => {
    const { inbox, pass } = opened();
    for (let turn = 0; turn < GRANTED_ALLOWANCE.burst; turn += 1) {
      inbox.offerFromNetwork("hold", body(`n${turn}`));
      inbox.decided(inbox.take().map(({ id }) => granted(id)));
    }
    expect(inbox.offerFromNetwork("hold", body("late"))).toMatchObject({ accepted: false, why: /disk is spared/ });
    expect(inbox.offerAtTank(atTank("t"))).toBeNull();
    pass(61_000);
    expect(inbox.offerFromNetwork("hold", body("later"))).toBeNull();
  });
});
