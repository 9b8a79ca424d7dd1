import {
  MARKS,
  type Mark,
  SESSIONS,
  type Session,
  type SessionStatus,
  STANDARD_WORDS,
  STANDARDS,
  stillWords,
} from "../../../shared/contract/index.ts";
import { choice, custom, numberIn, yesOrNo } from "../init/questions.ts";

import { soon } from "./soon.ts";
import { calibrationOf } from "./status.ts";
import type { Walk } from "./walk.ts";

/** What can be asked for by name. */
export const CALIBRATE_WORDS = [...SESSIONS, "marks"] as const;

/** One session from its beginning, or from where somebody left it, to what counts from now on. */
export async function walkSession(walk: Walk, session: Session): Promise<void> {
  const { visit, talk, by } = walk;
  const open = calibrationOf(visit).session;
  if (open !== null && open.session !== session) {
    talk.say(`A session of another kind is open (${open.session}). It is finished or given up first.`);
    return;
  }
  if (open === null) {
    if (!(await walk.hands.in())) return;
    const { accepted, why } = await visit.ask("calibrate", { step: "begin", session, by });
    talk.say(why);
    if (!accepted) return;
    await soon(() => calibrationOf(visit).session !== null);
  } else {
    talk.say("The session that was left is taken up again; what it has taken is kept.");
    sayTaken(walk);
  }
  if (session === "conductivity") while (!(await isSettled(walk, await conductivity(walk))));
  else if (!(await thermometers(walk, session))) await giveUp(walk);
  await walk.hands.out();
}

async function conductivity(walk: Walk): Promise<boolean> {
  const { talk } = walk;
  if (!sessionOf(walk).dry) {
    talk.say(
      "\nTake the cell out, clean it with a soft brush and as its maker says, rinse it in pure water, and let it hang " +
        "in air until it is dry.",
    );
    if (!(await repeated(walk, "Is the cell clean, dry and in air", { step: "dry" }))) return false;
  }
  if (sessionOf(walk).taken.length === 0) await takeStandard(walk);
  for (;;) {
    const taken = sessionOf(walk).taken.length;
    const asks = taken === 0 ? "Try a standard again" : "Take another standard, or this one again";
    if (!(await talk.ask(yesOrNo({ id: "another", asks, usual: taken === 0 ? "yes" : "no" })))) return taken > 0;
    await takeStandard(walk);
  }
}

async function takeStandard(walk: Walk): Promise<void> {
  const { talk } = walk;
  const standard = await askStandard(walk);
  const hangs = yesOrNo({
    id: "hangs",
    asks: "Does it hang in the standard",
    why: "\nRinse the cell with a little of the standard, throw that away, and hang it in fresh standard, free of bubbles.",
    usual: "yes",
  });
  if (!(await talk.ask(hangs)) || !(await untilSteady(walk))) return;
  const before = JSON.stringify(sessionOf(walk).taken);
  const { accepted, why } = await walk.visit.ask("calibrate", { step: "standard", ...standard });
  talk.say(accepted ? why : `Not taken. ${why}`);
  if (accepted) await soon(() => JSON.stringify(sessionOf(walk).taken) !== before);
}

async function askStandard({ talk, visit }: Walk): Promise<Record<string, string | number>> {
  talk.say("\nWhich standard? Not a drop goes back into the bottle.");
  for (const standard of STANDARDS) talk.say(`- ${standard}: ${STANDARD_WORDS[standard]}`);
  const standard = await talk.ask(choice({ id: "standard", asks: "Standard", usual: "sea-water-35" }, STANDARDS));
  const lot = await talk.ask(
    custom<string>({ id: "lot", asks: "Lot on the bottle, or -", usual: "-" }, (answer) =>
      /^[\p{L}\p{N}\p{P} ]{1,40}$/u.test(answer)
        ? { value: answer }
        : { expected: "1 to 40 letters, digits and signs" },
    ),
  );
  const body: Record<string, string | number> = { standard };
  if (lot !== "-") body.lot = lot;
  if (standard === "label") {
    body.labelMsPerCm = await talk.ask(measured("labelMsPerCm", "Conductivity on the label", "mS/cm", 0.05, 90));
    body.labelC = await talk.ask(measured("labelC", "At which temperature", "°C", 0, 45, "25"));
    body.labelPercentPerK = await talk.ask(
      measured("labelPercentPerK", "Change per kelvin on the label", "%", 0, 5, "2"),
    );
  }
  if (calibrationOf(visit).session?.temperatureC === null) {
    body.temperatureC = await talk.ask(measured("temperatureC", "Temperature of the standard", "°C", 0, 45));
  }
  return body;
}

const measured = (id: string, asks: string, unit: string, least: number, most: number, usual?: string) =>
  custom<number>({ id, asks: `${asks}, in ${unit}`, ...(usual === undefined ? {} : { usual }) }, (answer) => {
    const value = numberIn(answer, unit);
    return value !== null && value >= least && value <= most
      ? { value }
      : { expected: `a number from ${least} to ${most}, in ${unit}` };
  });

async function thermometers(walk: Walk, session: Session): Promise<boolean> {
  const { talk } = walk;
  const both = session === "thermometers";
  const hang = yesOrNo({
    id: "hang",
    asks: both ? "Do both hang in the same water" : "Does it hang in the same water as the reference",
    why:
      (both
        ? "\nBoth thermometers in the same water, close together, stirred: their difference is removed. "
        : "\nThe thermometer and your reference in the same water, close together, stirred, both covered. ") +
      "Best in the tank; in a cup only during a hold with the heater off, for the heat goes by what they say.",
    usual: "yes",
  });
  if (!(await talk.ask(hang))) return false;
  for (;;) {
    if (!(await untilSteady(walk))) return false;
    const body: Record<string, string | number> = { step: "reference" };
    if (!both) body.referenceC = await talk.ask(measured("referenceC", "What does the reference say", "°C", 0, 45));
    const { accepted, why } = await walk.visit.ask("calibrate", body);
    talk.say(accepted ? why : `Not taken. ${why}`);
    if (accepted) return true;
    if (!(await talk.ask(yesOrNo({ id: "again", asks: "Once more", usual: "yes" })))) return false;
  }
}

/** Watches the reading anew until it stands still; false = the keeper does not want to wait. */
async function untilSteady({ visit, talk }: Walk): Promise<boolean> {
  // A probe stood still where it hung before, too.
  const { accepted, why } = await visit.ask("calibrate", { step: "watch" });
  if (!accepted) talk.say(why);
  await soon(() => calibrationOf(visit).session?.steady !== true);
  for (;;) {
    const seen = await talk.watch(() => {
      const { session } = calibrationOf(visit);
      if (session === null) return { shows: "the session is over", says: null, isDone: true };
      return { shows: readingWords(session), says: null, isDone: session.steady };
    });
    if (seen === "seen") return calibrationOf(visit).session !== null;
    const waits = yesOrNo({ id: "wait", asks: "It has to stand still first. Wait on", usual: "yes" });
    if (!(await talk.ask(waits))) return false;
  }
}

function readingWords({ session, reads, temperatureC, steady, watchedMs, neededMs }: SessionStatus): string {
  const isCell = session === "conductivity";
  const value = reads === null ? "no reading" : `${reads.toFixed(isCell ? 3 : 2)} ${isCell ? "mS/cm" : "°C"}`;
  const also = temperatureC === null ? "" : `${isCell ? " at" : " and"} ${temperatureC.toFixed(2)} °C`;
  return `${value}${also}, ${stillWords(watchedMs, neededMs, steady)}`;
}

/** Asks, sends, and asks again when it is refused; false = the keeper gives it up. */
async function repeated({ visit, talk }: Walk, asks: string, body: Record<string, unknown>): Promise<boolean> {
  for (;;) {
    if (!(await talk.ask(yesOrNo({ id: String(body.step), asks, usual: "yes" })))) return false;
    const { accepted, why } = await visit.ask("calibrate", body);
    talk.say(accepted ? why : `Not yet. ${why}`);
    if (accepted) return true;
  }
}

/** What was taken counts from now on, or is given up; false = it is to be done once more. */
async function isSettled(walk: Walk, isFound: boolean): Promise<boolean> {
  const { visit, talk } = walk;
  if (!isFound) {
    await giveUp(walk);
    return true;
  }
  sayTaken(walk);
  if (await talk.ask(yesOrNo({ id: "accept", asks: "Shall this count from now on", usual: "yes" }))) {
    const { accepted, why } = await visit.ask("calibrate", { step: "accept" });
    talk.say(accepted ? why : `Not yet. ${why}`);
    if (accepted) return true;
    await soon(() => !calibrationOf(visit).session?.dry);
    if (await talk.ask(yesOrNo({ id: "repeat", asks: "Do it once more", usual: "yes" }))) return false;
  }
  await giveUp(walk);
  return true;
}

function sayTaken(walk: Walk): void {
  for (const { standard, lot, readMsPerCm, expectedMsPerCm, temperatureC } of sessionOf(walk).taken) {
    walk.talk.say(
      `- ${STANDARD_WORDS[standard]}${lot === null ? "" : `, lot ${lot}`}, at ${temperatureC.toFixed(1)} °C: ` +
        `read ${readMsPerCm.toFixed(3)}, should be ${expectedMsPerCm.toFixed(3)} mS/cm`,
    );
  }
}

async function giveUp({ visit, talk }: Walk): Promise<void> {
  if (calibrationOf(visit).session === null) return talk.say("The session is over; nothing was changed by it.");
  talk.say((await visit.ask("calibrate", { step: "abandon" })).why);
}

const sessionOf = ({ visit }: Walk): SessionStatus => {
  const { session } = calibrationOf(visit);
  if (session === null) throw new SessionOver();
  return session;
};

/** It took too long, or somebody else ended it. */
export class SessionOver extends Error {
  override readonly name = "SessionOver";
}

const MARK_WORDS = {
  "high-float-mm": "High float above the working mark",
  "low-float-mm": "Low float above the working mark (below it: with a minus)",
  "float-hysteresis-mm": "Between the working float's low and full",
  "pump-off-level-mm": "Level with the return pump off, above the working mark",
} as const;

/** Marks measured with a ruler; each may be left as it is. */
export async function walkMarks(walk: Walk): Promise<void> {
  walk.talk.say("\nMeasure with a ruler from the working mark, the level at which the working float reads full.");
  for (const mark of MARKS) await askMark(walk, mark);
}

async function askMark({ visit, talk, by }: Walk, mark: Mark): Promise<void> {
  const { value } = calibrationOf(visit).inForce[mark];
  const mm = await talk.ask(measuredOrLeft(mark, value));
  if (mm === null) return;
  const { accepted, why } = await visit.ask("calibrate", { step: "mark", mark, mm, by });
  talk.say(accepted ? why : `Refused. ${why}`);
}

const measuredOrLeft = (mark: Mark, value: number) =>
  custom<number | null>({ id: mark, asks: `${MARK_WORDS[mark]}, in mm; now ${value}`, usual: "leave it" }, (answer) => {
    if (answer === "leave it") return { value: null };
    const mm = numberIn(answer, "mm");
    return mm !== null && Math.abs(mm) <= 300 ? { value: mm } : { expected: "millimetres, −300 to 300" };
  });
