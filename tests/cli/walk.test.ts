import { describe, expect, it } from "vitest";
import { Left } from "../../controller/cli/conversation/terminal.ts";
import { translateUnits } from "../../controller/cli/status/translate-units.ts";
import { walkMarks, walkSession } from "../../controller/cli/walk/calibrate.ts";
import { createHands } from "../../controller/cli/walk/hands.ts";
import { lookAtLocks } from "../../controller/cli/walk/locked.ts";
import { walkParts, wantedParts } from "../../controller/cli/walk/prove.ts";
import { provingOf } from "../../controller/cli/walk/status.ts";
import { calibrationLines, proofLines } from "../../controller/cli/walk/table.ts";
import { openTalk } from "../../controller/cli/walk/talk.ts";
import type { Walk } from "../../controller/cli/walk/walk.ts";
import {
  CALIBRATED,
  CALIBRATED_UNITS,
  type CalibrationEntry,
  PROOF_PARTS,
  REASONS,
  type SessionStatus,
} from "../../shared/contract/index.ts";
import { METRIC } from "../../shared/units/index.ts";
import { type Asked, type MadeVisit, madeVisit } from "./made-visit.ts";
import { terminalEnds } from "./terminal-ends.ts";

/** The walk at a terminal's two ends. */
function beside(visit: MadeVisit, units = METRIC) {
  const ends = terminalEnds();
  const talk = openTalk({ terminal: ends.terminal, units, onTold: visit.onTold, isGone: visit.isGone });
  const walk: Walk = { visit, talk, hands: createHands(visit, talk), by: "Kim" };
  return { walk, ...ends };
}

const yes = { accepted: true, why: "Done." };

/** Does what a controller does with holds and proofs, and leaves runs to the test. */
function obliging({ kind, part }: Asked, visit: MadeVisit) {
  if (kind === "hold") visit.tell({ "hold/active": "true" });
  if (kind === "end-hold") visit.tell({ "hold/active": "false" });
  if (kind === "proven") visit.proof(part as "high-float", { standing: "proven", ageMs: 0, by: "Kim", ready: false });
  return yes;
}

describe("the proving walk at a terminal", () => {
  it("high float: hold offered, wet and dry shown live, proven by name, hold ended", async () => {
    const visit = madeVisit(obliging);
    visit.tell({ "high-float/position": "dry" });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["high-float"]);
    await keeper.hears(/high float \(never proven\).*Start a hold of 30 minutes\? \(yes\/no\) \[yes\]/);
    keeper.type("");
    await keeper.hears(/Show the high-float\. high float dry/);
    visit.tell({ "high-float/position": "wet" });
    visit.proof("high-float", { next: "Seen wet; now let it fall." });
    await keeper.hears(/Seen wet; now let it fall\. high float wet/);
    visit.tell({ "high-float/position": "dry" });
    visit.proof("high-float", { ready: true });
    await keeper.hears(/Are all hands out/);
    keeper.type("");
    await walked;
    expect(visit.asked).toEqual([
      { kind: "hold", minutes: 30 },
      { kind: "proven", part: "high-float", by: "Kim" },
      { kind: "end-hold", answer: null },
    ]);
  });

  it("pump run twice: seconds shown, jug asked for, proven after the second", async () => {
    let jugs = 0;
    const visit = madeVisit((asked, made) => {
      if (asked.kind === "prove") made.proving({ run: { part: "top-off-pump", phase: "running", leftMs: 10_000 } });
      if (asked.kind !== "proven") return yes;
      jugs += 1;
      if (jugs === 2) made.proof("top-off-pump", { standing: "proven", ageMs: 0 });
      return { accepted: true, why: jugs === 2 ? "Proven: 25.2 mL/s." : "25.0 mL/s. Once more." };
    });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["top-off-pump"]);
    for (const ml of ["250", "254 mL"]) {
      await keeper.hears(/Ready\? For how long, in s; or skip: \[10 s\]/);
      keeper.type("");
      await keeper.hears(/running, 10 s left: pump relay/);
      visit.proving({ run: null, lastRun: { part: "top-off-pump", ending: "done", why: "Read the jug." } });
      await keeper.hears(/Read the jug\..*How much is in the jug, in mL:/);
      keeper.type(ml);
      await keeper.hears(jugs === 0 ? /Once more\./ : /Proven: 25\.2/);
      if (ml === "250") {
        await keeper.hears(/Once more \(yes\/skip\)/);
        keeper.type("");
      }
    }
    await walked;
    expect(keeper.said()).toMatch(/Caution\. Keep water away from sockets/);
    expect(visit.asked.filter(({ kind }) => kind === "proven")).toEqual([
      { kind: "proven", part: "top-off-pump", by: "Kim", ml: 250 },
      { kind: "proven", part: "top-off-pump", by: "Kim", ml: 254 },
    ]);
  });

  it("level: 20 s refused, 60 taken; 62 mm asked for and proven with it", async () => {
    const visit = madeVisit((asked, made) => {
      const end = { part: "pump-off-level", ending: "done", why: "The high float stayed dry." } as const;
      if (asked.kind === "prove") made.proving({ lastRun: end });
      return obliging(asked, made);
    });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["pump-off-level"]);
    await keeper.hears(/Ready\? For how long, in s; or skip: \[120 s\]/);
    keeper.type("20");
    await keeper.hears(/expected 60 s to 300 s; or skip/);
    keeper.type("60");
    await keeper.hears(
      /stayed dry\..*above the working mark; until now 1 mm, in mm; or not-measured: .*\[not-measured\]/,
    );
    keeper.type("62 mm");
    await keeper.hears(/Start the return pump again/);
    await walked;
    expect(visit.asked.at(-1)).toEqual({ kind: "proven", part: "pump-off-level", by: "Kim", mm: 62 });
  });

  it("Enter in a run: run ended, reason told, asked again; skip: left for later", async () => {
    const visit = madeVisit(({ kind }, made) => {
      if (kind === "prove") made.proving({ run: { part: "heater-1", phase: "running", leftMs: 60_000 } });
      const why = "It was ended. Nothing is proven by it and nothing is lost.";
      if (kind === "end-run") made.proving({ run: null, lastRun: { part: "heater-1", ending: "interrupted", why } });
      return yes;
    });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["heater-1"]);
    await keeper.hears(/Mains and salt water kill.*Ready\?/);
    keeper.type("60");
    await keeper.hears(/running, 60 s left: heater relay/);
    keeper.type("");
    await keeper.hears(/nothing is lost\..*Ready\?/);
    keeper.type("skip");
    await keeper.hears(/left for later/);
    await walked;
    expect(visit.asked.map(({ kind }) => kind)).toEqual(["prove", "end-run"]);
  });

  it("run refused: reason told, asked again; pump did not stand still: not proven", async () => {
    let times = 0;
    const visit = madeVisit(({ kind }, made) => {
      if (kind !== "prove") return yes;
      times += 1;
      if (times === 1) return { accepted: false, why: "The reservoir is empty." };
      made.proving({ lastRun: { part: "water-guard", ending: "done", why: "Did the pump stand still?" } });
      return yes;
    });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["water-guard"]);
    await keeper.hears(/Ready\?/);
    keeper.type("");
    await keeper.hears(/Not now\. The reservoir is empty\..*Ready\?/);
    keeper.type("");
    await keeper.hears(/Did the pump stand still\? \(yes\/no\)/);
    keeper.type("no");
    await keeper.hears(/replace the guard\. It stays unproven/);
    await walked;
    expect(visit.asked.some(({ kind }) => kind === "proven")).toBe(false);
  });

  it("keeper leaves in a run: run ended", async () => {
    const visit = madeVisit(({ kind }, made) => {
      if (kind === "prove") made.proving({ run: { part: "siphon", phase: "running", leftMs: 30_000 } });
      return yes;
    });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["siphon"]);
    await keeper.hears(/Ready\?/);
    keeper.type("");
    await keeper.hears(/running, 30 s left/);
    keeper.type("leave");
    await expect(walked).rejects.toThrow(Left);
    expect(visit.asked.at(-1)).toEqual({ kind: "end-run" });
  });

  it("pipe ends in a hold: left, told to end the hold", async () => {
    const visit = madeVisit(obliging);
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["working-float"]);
    await keeper.hears(/Start a hold/);
    keeper.type("yes");
    await keeper.hears(/Show the working-float/);
    keeper.end();
    await expect(walked).rejects.toThrow(Left);
    expect(keeper.walk.hands.leaving()).toMatch(/evenbrine hold --end/);
  });

  it("controller ends while a float is shown: told", async () => {
    const visit = madeVisit(obliging);
    visit.tell({ "hold/active": "true" });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["low-float"]);
    await keeper.hears(/Show the low-float/);
    visit.end();
    await expect(walked).rejects.toThrow(/The controller has ended\. What was proven/);
  });

  it("controller ends at a question: told at once", async () => {
    const visit = madeVisit(obliging);
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, ["low-float"]);
    await keeper.hears(/Start a hold/);
    visit.end();
    await expect(walked).rejects.toThrow(/The controller has ended\. What was proven/);
  });

  it("hold of somebody else ended with the water low: asked why, evaporation sent", async () => {
    const visit = madeVisit((asked, made) => {
      if (asked.kind === "end-hold" && asked.answer === null) made.tell({ "hold/question": "true" });
      return obliging(asked, made);
    });
    visit.tell({ "hold/active": "true" });
    const keeper = beside(visit);
    const walked = walkParts(keeper.walk, []);
    await keeper.hears(/Somebody started a hold/);
    keeper.type("yes");
    await keeper.hears(/put it back first/);
    keeper.type("evaporation");
    await walked;
    expect(visit.asked.map(({ answer }) => answer)).toEqual([null, "evaporation"]);
  });

  it("wantedParts: never, fallen and due; not proven or not fitted ones", () => {
    const visit = madeVisit(obliging);
    for (const part of PROOF_PARTS) visit.proof(part, { standing: "proven" });
    visit.proof("siphon", { standing: "fallen" });
    visit.proof("high-float", { standing: "due" });
    visit.proof("low-float", { standing: "not-fitted" });
    expect(wantedParts(provingOf(visit))).toEqual(["high-float", "siphon"]);
  });

  it("status of another version, or none: refused, says so", () => {
    const visit = madeVisit(obliging);
    visit.tell({ "proving/status": '{"parts":{"high-float":{}}}' });
    expect(() => provingOf(visit)).toThrow(/another version/);
    visit.tell({ "proving/status": "" });
    expect(() => provingOf(visit)).toThrow(/try again/);
  });
});

describe("calibration of the conductivity cell at a terminal", () => {
  const session = (change: Partial<SessionStatus>): SessionStatus => ({
    session: "conductivity",
    by: "Kim",
    leftMs: 1_800_000,
    reads: 0.01,
    temperatureC: 25,
    watchedMs: 0,
    neededMs: 60_000,
    steady: false,
    dry: false,
    taken: [],
    next: "Let it dry.",
    ...change,
  });
  const taken = {
    standard: "sea-water-35",
    lot: "P1",
    temperatureC: 25,
    expectedMsPerCm: 53.065,
    readMsPerCm: 52.5,
  } as const;

  it("not dry: asked again; standard: watched live, not taken before it is steady; then accepted", async () => {
    let dryAsked = 0;
    const visit = madeVisit((asked, made) => {
      if (asked.step === "begin") made.calibration({ session: session({}) });
      if (asked.step === "dry") {
        dryAsked += 1;
        if (dryAsked === 1) return { accepted: false, why: "It reads 0.4 mS/cm: it is not dry." };
        made.calibration({ session: session({ dry: true, reads: 52.1, next: "Wait until it stands still." }) });
      }
      if (asked.step === "standard") made.calibration({ session: session({ dry: true, taken: [taken] }) });
      if (asked.step === "accept") made.calibration({ session: null });
      return obliging(asked, made);
    });
    const keeper = beside(visit);
    const walked = walkSession(keeper.walk, "conductivity");
    await keeper.hears(/Start a hold/);
    keeper.type("");
    await keeper.hears(/clean it .*Is the cell clean, dry and in air/);
    keeper.type("");
    await keeper.hears(/Not yet\. It reads 0\.4 mS\/cm.*Is the cell/);
    keeper.type("");
    await keeper.hears(/sea-water-35: sea water of practical salinity 35.*Standard /);
    keeper.type("");
    await keeper.hears(/Lot on the bottle/);
    keeper.type("P1");
    await keeper.hears(/Rinse the cell .*Does it hang in the standard/);
    keeper.type("");
    await keeper.hears(/52\.100 mS\/cm at 25\.00 °C, watched for 0 of 60 s/);
    keeper.type("");
    await keeper.hears(/has to stand still first\. Wait on/);
    keeper.type("");
    await keeper.hears(/52\.100 mS\/cm/);
    visit.calibration({ session: session({ dry: true, reads: 52.5, steady: true, watchedMs: 60_000 }) });
    await keeper.hears(/52\.500 mS\/cm at 25\.00 °C, steady.*Take another standard/);
    keeper.type("");
    await keeper.hears(/read 52\.500, should be 53\.065 mS\/cm.*Shall this count/);
    keeper.type("yes");
    await keeper.hears(/Are all hands out/);
    keeper.type("");
    await walked;
    expect(visit.asked.filter(({ kind }) => kind === "calibrate")).toEqual([
      { kind: "calibrate", step: "begin", session: "conductivity", by: "Kim" },
      { kind: "calibrate", step: "dry" },
      { kind: "calibrate", step: "dry" },
      { kind: "calibrate", step: "watch" },
      { kind: "calibrate", step: "standard", standard: "sea-water-35", lot: "P1" },
      { kind: "calibrate", step: "accept" },
    ]);
  });

  it("change of 9.1 %: done once more from the dry cell, then accepted", async () => {
    let accepts = 0;
    const visit = madeVisit(({ step }, made) => {
      if (step === "dry") made.calibration({ session: session({ dry: true, steady: true }) });
      if (step === "standard") made.calibration({ session: session({ dry: true, steady: true, taken: [taken] }) });
      if (step !== "accept") return yes;
      accepts += 1;
      made.calibration({ session: accepts === 1 ? session({}) : null });
      return accepts === 1 ? { accepted: false, why: "That is a change of 9.1 %." } : yes;
    });
    visit.calibration({ session: session({ dry: true, steady: true, taken: [] }) });
    const keeper = beside(visit);
    const walked = walkSession(keeper.walk, "conductivity");
    const takes = async () => {
      for (const asks of [/ Standard \(.*›/, /› Lot /, /› Does it hang /, /› Take another /, /› Shall this count /]) {
        await keeper.hears(asks);
        keeper.type("");
      }
    };
    await takes();
    await keeper.hears(/Not yet\. That is a change of 9\.1 %\..*Do it once more/);
    keeper.type("");
    await keeper.hears(/Is the cell clean, dry and in air/);
    keeper.type("");
    await takes();
    await walked;
    expect(visit.asked.map(({ step }) => step)).toEqual([
      ...["watch", "standard", "accept"],
      ...["dry", "watch", "standard", "accept"],
    ]);
  });

  it("thermometer: watched, reference of 25,1 taken", async () => {
    const thermometer = { session: "thermometer-1", reads: 25.06, temperatureC: null, steady: false } as const;
    const visit = madeVisit(({ step }, made) => {
      if (step === "begin") made.calibration({ session: session(thermometer) });
      if (step === "reference") made.calibration({ session: null });
      return step === "reference" ? { accepted: true, why: "Calibrated. 0.04 K are added." } : yes;
    });
    visit.tell({ "hold/active": "true" });
    const keeper = beside(visit);
    const walked = walkSession(keeper.walk, "thermometer-1");
    await keeper.hears(/Does it hang in the same water/);
    keeper.type("");
    await keeper.hears(/25\.06 °C, watched for 0 of 60 s/);
    visit.calibration({ session: session({ ...thermometer, steady: true, watchedMs: 60_000 }) });
    await keeper.hears(/25\.06 °C, steady.*What does the reference say, in °C:/);
    keeper.type("25,1");
    await keeper.hears(/reads 25\.06 °C beside 25\.10 °C: 0\.04 K would be added.*Shall this count/);
    keeper.type("");
    await keeper.hears(/Calibrated\. 0\.04 K are added\. .*hands out/);
    keeper.type("no");
    await walked;
    expect(visit.asked).toEqual([
      { kind: "calibrate", step: "begin", session: "thermometer-1", by: "Kim" },
      { kind: "calibrate", step: "watch" },
      { kind: "calibrate", step: "reference", referenceC: 25.1 },
    ]);
    expect(keeper.said()).not.toMatch(/nothing was changed/);
  });

  it("session left before: taken up; standard refused and no more: abandoned", async () => {
    const visit = madeVisit((asked, made) => {
      if (asked.step === "standard") return { accepted: false, why: "It is 22 % off: is it the right bottle?" };
      if (asked.step === "abandon") made.calibration({ session: null });
      return yes;
    });
    visit.calibration({ session: session({ dry: true, steady: true, temperatureC: null }) });
    const keeper = beside(visit);
    const walked = walkSession(keeper.walk, "conductivity");
    await keeper.hears(/taken up again/);
    for (const [asks, line] of [
      ["Standard ", "label"],
      ["Lot", "-"],
      ["Conductivity on the label", "50"],
      ["At which temperature", "25"],
      ["Percent of change per kelvin", "2"],
      ["Temperature of the standard", "24.5"],
      ["Does it hang in the standard", ""],
    ] as const) {
      await keeper.hears(new RegExp(`${asks}.*›|› ${asks}`));
      keeper.type(line);
    }
    await keeper.hears(/Not taken\. It is 22 % off.*Try a standard again/);
    keeper.type("no");
    await walked;
    expect(visit.asked.map(({ step }) => step)).toEqual(["watch", "standard", "abandon"]);
    expect(visit.asked[1]).toMatchObject({ labelMsPerCm: 50, labelC: 25, labelPercentPerK: 2, temperatureC: 24.5 });
  });
});

describe("marks measured with a ruler", () => {
  it("two of four given: shown beside what they were, sent only after a yes", async () => {
    const visit = madeVisit(obliging);
    const keeper = beside(visit);
    const walked = walkMarks(keeper.walk);
    await keeper.hears(/High float above the working mark; now 1 mm, in mm; or leave-it/);
    keeper.type("70");
    await keeper.hears(/Low float.*›/);
    keeper.type("");
    await keeper.hears(/Between the working float.*›/);
    keeper.type("0.5 cm");
    await keeper.hears(/Level with the return pump off.*›/);
    keeper.type("");
    await keeper.hears(
      /High float above the working mark: 70 mm, before 1 mm.*low and full: 5 mm, before 1 mm.*Shall this count/,
    );
    expect(visit.asked).toEqual([]);
    keeper.type("");
    await walked;
    expect(visit.asked).toEqual([
      { kind: "calibrate", step: "mark", mark: "high-float-mm", mm: 70, by: "Kim" },
      { kind: "calibrate", step: "mark", mark: "float-hysteresis-mm", mm: 5, by: "Kim" },
    ]);
  });

  it("one given, then no: nothing sent", async () => {
    const visit = madeVisit(obliging);
    const keeper = beside(visit);
    const walked = walkMarks(keeper.walk);
    for (const line of ["70", "", "", ""]) {
      await keeper.hears(/›/);
      keeper.type(line);
    }
    await keeper.hears(/Shall this count/);
    keeper.type("no");
    await keeper.hears(/Nothing was changed/);
    await walked;
    expect(visit.asked).toEqual([]);
  });
});

describe("a keeper who chose °F", () => {
  const US = { temperature: "°F", volume: "US gal", length: "in" } as const;

  // 25.06 °C × 1.8 + 32 = 77.108 °F; a difference of 0.04 K is 0.072 °F (definition of the scale).
  it("thermometer session: read and answered in °F, sent in °C", async () => {
    const visit = madeVisit(({ step }, made) => {
      if (step === "begin") made.calibration({ session: thermometer });
      if (step === "reference") made.calibration({ session: null });
      return yes;
    });
    const thermometer: SessionStatus = {
      session: "thermometer-1",
      by: "Kim",
      leftMs: 1_800_000,
      reads: 25.06,
      temperatureC: null,
      watchedMs: 60_000,
      neededMs: 60_000,
      steady: true,
      dry: false,
      taken: [],
      next: "",
    };
    visit.tell({ "hold/active": "true" });
    const keeper = beside(visit, US);
    const walked = walkSession(keeper.walk, "thermometer-1");
    await keeper.hears(/Does it hang in the same water/);
    keeper.type("");
    await keeper.hears(/77\.11 °F, steady.*What does the reference say, in °F:/);
    keeper.type("120");
    await keeper.hears(/expected 32 °F to 113 °F/);
    keeper.type("77.18");
    await keeper.hears(/It reads 77\.11 °F beside 77\.18 °F: 0\.07 °F would be added/);
    keeper.type("yes");
    await keeper.hears(/hands out/);
    keeper.type("no");
    await walked;
    const sent = visit.asked.find(({ step }) => step === "reference");
    expect(sent?.referenceC).toBeCloseTo(25.1, 5);
  });

  it.each([
    ["25.06 °C, steady", "77.11 °F, steady"],
    ["1–1.5 K above the setpoint", "1.8–2.7 °F above the setpoint"],
    ["It must rise by a kelvin.", "It must rise by 1.8 °F."],
    ["0 to 45 °C", "32 to 113 °F"],
    ["−0.5 K are added", "-0.9 °F are added"],
    ["2 %/K, 10 kΩ, 52.100 mS/cm at 25.00 °C", "2 %/K, 10 kΩ, 52.100 mS/cm at 77.00 °F"],
    ["no temperature in this one", "no temperature in this one"],
  ])("%s: said as %s", (text, said) => {
    expect(translateUnits(text, US)).toBe(said);
    expect(translateUnits(text, METRIC)).toBe(text);
  });
});

describe("a box that is new", () => {
  it("no proof yet, memory lost: told as new, hand test and clear asked for", async () => {
    const visit = madeVisit(obliging);
    visit.tell({ "top-off/latch": REASONS["memory-lost"], "top-off/clearable": "true", "top-off/latch-number": "1" });
    const keeper = beside(visit);
    const looked = lookAtLocks(visit, keeper.walk.talk, true);
    await keeper.hears(/This box is new to Evenbrine.*Salinity that you measured/);
    keeper.type("35");
    await keeper.hears(/Have you looked/);
    keeper.type("yes");
    await looked;
    expect(visit.asked.map(({ kind }) => kind)).toEqual(["hand-test", "clear"]);
    expect(keeper.said()).not.toMatch(/lost/);
  });

  it("wet floor in a new box, memory lost in a proven one: told as a lock with its reason", async () => {
    for (const [latch, standing] of [
      ["The floor sensor is wet.", "never"],
      [REASONS["memory-lost"], "proven"],
    ] as const) {
      const visit = madeVisit(obliging);
      visit.proof("high-float", { standing });
      visit.tell({ "top-off/latch": latch, "top-off/clearable": "true" });
      const keeper = beside(visit);
      const looked = lookAtLocks(visit, keeper.walk.talk, false);
      await keeper.hears(/Top-off is locked/);
      expect(keeper.said()).toContain(latch.slice(0, 20));
      await keeper.hears(/Have you looked/);
      keeper.type("no");
      await looked;
    }
  });
});

describe("tables at a terminal", () => {
  const NOW_MS = new Date(2026, 10, 25, 12, 0).getTime();

  it("proofs: standing, time, person, reading; what stays off and why; what is not fitted", () => {
    const visit = madeVisit(obliging);
    for (const part of PROOF_PARTS) visit.proof(part, { standing: "proven", ageMs: 3_600_000, by: "Kim" });
    visit.proof("top-off-pump", { reading: { value: 25.31, unit: "mL/s" } });
    visit.proof("siphon", { standing: "fallen", ageMs: null, by: null });
    visit.proof("low-float", { standing: "not-fitted" });
    visit.proving({ fallen: [{ part: "siphon", why: "Its settings have changed." }] });
    const text = proofLines(provingOf(visit), NOW_MS).join("\n");
    expect(text).toMatch(/^top-off pump +proven +2026-11-25 11:00 +Kim +25\.3 mL\/s$/m);
    expect(text).toMatch(/^stop of the top-off pump \(siphon\) +fallen: the settings changed$/m);
    expect(text).toMatch(/^Not fitted: low float\.$/m);
    expect(text).toMatch(/^Top-off stays off until these are proven: stop of the top-off pump \(siphon\)\.$/m);
    expect(text).toMatch(/Its settings have changed\./);
    visit.proof("siphon", { standing: "overdue", ageMs: 7e9 });
    expect(proofLines(provingOf(visit), NOW_MS).join("\n")).toMatch(/Nothing stays off for want of a proof/);
  });

  it("calibrations: what is in force; entries with lot and temperature; none: says so", () => {
    const inForce = Object.fromEntries(
      CALIBRATED.map((what) => [what, { value: 1.25, unit: CALIBRATED_UNITS[what], number: null, ageMs: null }]),
    ) as never;
    const entry: CalibrationEntry = {
      number: 3,
      what: "conductivity",
      before: 1,
      after: 1.0123,
      unit: "",
      ageMs: 86_400_000,
      by: "Kim",
      lot: "P1",
      temperatureC: 25,
      standards: [],
      standing: "in-force",
    };
    const text = calibrationLines({ inForce, session: null, entries: [entry] }, NOW_MS).join("\n");
    expect(text).toMatch(/^added to thermometer 1 +1\.25 K +as in the settings$/m);
    expect(text).toMatch(
      /^3 +factor of the conductivity cell +1 → 1\.012 +in force +2026-11-24 12:00 +Kim +lot P1, 25\.0 °C$/m,
    );
    expect(calibrationLines({ inForce, session: null, entries: [] }, NOW_MS).join("\n")).toMatch(
      /Nothing was calibrated/,
    );
  });
});
