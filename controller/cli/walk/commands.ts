import { userInfo } from "node:os";
import { Argument, Command, Option } from "commander";
import { CAUTIONS, PROOF_PARTS, type ProofPart, type Session } from "../../../shared/contract/index.ts";
import { atTank } from "../at-tank/commands.ts";
import { NoVisit, type Visit } from "../at-tank/visit.ts";
import { buildText, buildYesOrNo } from "../conversation/question.ts";
import { canAsk, Left, thisTerminal } from "../conversation/terminal.ts";
import { fetchUnits } from "../status/fetch-units.ts";
import { typed, type Where } from "../typed.ts";
import { CALIBRATE_WORDS, SessionOver, walkMarks, walkSession } from "./calibrate.ts";
import { createHands } from "./hands.ts";
import { lookAtLocks } from "./locked.ts";
import { walkParts, wantedParts } from "./prove.ts";
import { calibrationOf, provingOf } from "./status.ts";
import { calibrationLines, proofLines } from "./table.ts";
import { openTalk, type Talk } from "./talk.ts";
import type { Walk } from "./walk.ts";

interface Options extends Where {
  readonly list?: true;
  readonly by?: string;
  readonly undo?: string | true;
}

/** `evenbrine prove`: along the parts, at the tank, until each was seen to work. */
export const proveCommand = (): Command =>
  atTank(
    new Command("prove")
      .description("walk along the parts at the tank until each was seen to work; leave and come back at any point")
      .addArgument(new Argument("[part]", "this part only").choices(PROOF_PARTS))
      .option("--list", "say what is proven, when, by whom and with what reading, and what stays off")
      .addOption(BY),
    async (visit, part: ProofPart | undefined, options: Options) => {
      if (options.list) return say(proofLines(provingOf(visit), nowOn(visit)));
      await walking(visit, options, part === undefined ? "prove" : `prove ${part}`, async (walk) => {
        const status = provingOf(visit);
        if (part !== undefined && status.parts[part].standing === "not-fitted") {
          return walk.talk.say("The settings name no such part, so there is nothing to prove.");
        }
        const parts = part === undefined ? wantedParts(status) : [part];
        if (parts.length === 0) walk.talk.say("Everything is proven, and nothing is due.");
        else await lookAtLocks(visit, walk.talk, true);
        await walkParts(walk, parts);
      });
      say(["", ...proofLines(provingOf(visit), nowOn(visit))]);
    },
  );

/** `evenbrine calibrate`: what a reading is corrected by. */
export const calibrateCommand = (): Command =>
  atTank(
    new Command("calibrate")
      .description("correct a reading at the tank: conductivity by standards, thermometers, marks of the floats")
      .addArgument(new Argument("[what]", "what to calibrate").choices(CALIBRATE_WORDS))
      .option("--list", "say what is in force, and every calibration that is kept")
      .option("--undo [number]", "take a calibration back; the newest one when no number is given")
      .addOption(BY),
    async (visit, what: (typeof CALIBRATE_WORDS)[number] | undefined, options: Options) => {
      if (what === undefined && options.undo === undefined) {
        say(calibrationLines(calibrationOf(visit), nowOn(visit)));
        if (!options.list) {
          say(["", "To calibrate:", ...CALIBRATE_WORDS.map((word) => `  ${typed(`calibrate ${word}`, options)}`)]);
          say([`  ${typed("prove top-off-pump", options)} (the flow of the pump)`]);
        }
        return;
      }
      if (options.undo !== undefined) return takeBack(visit, options.undo);
      await walking(visit, options, `calibrate ${what}`, (walk) =>
        what === "marks" ? walkMarks(walk) : walkSession(walk, what as Session),
      );
      say(["", ...calibrationLines(calibrationOf(visit), nowOn(visit))]);
    },
  );

const BY = new Option("--by <name>", "who does it: kept with every proof and calibration, 1 to 40 letters");

const say = (lines: readonly string[]): void => console.log(lines.join("\n"));

/** The clock that the box lives by: in a rehearsal not that of the wall. */
const nowOn = (visit: Visit): number => Date.parse(visit.text("box/clock")) || Date.now();

async function takeBack(visit: Visit, asked: string | true): Promise<void> {
  const newest = calibrationOf(visit).entries.findLast(({ standing }) => standing === "in-force")?.number;
  const number = asked === true ? newest : Number(asked);
  if (number === undefined) throw new NoVisit("Nothing was calibrated, so there is nothing to take back.");
  const { accepted, why } = await visit.ask("undo-calibration", { number });
  if (!accepted) process.exitCode = 1;
  say([accepted ? why : `Refused. ${why}`]);
}

/** A walk from its greeting to its end, or to where the keeper leaves it. */
async function walking(
  visit: Visit,
  options: Options,
  again: string,
  along: (walk: Walk) => Promise<void>,
): Promise<void> {
  if (!canAsk(thisTerminal)) throw new NoVisit("This is done with questions at a terminal, and this is none.");
  const units = await fetchUnits(visit.greeting.address);
  const talk = openTalk({ terminal: thisTerminal, units, onTold: visit.onTold, isGone: visit.isGone });
  const hands = createHands(visit, talk, (words) => typed(words, options));
  try {
    const by = await greet(visit, talk, options);
    if (by !== null) await along({ visit, talk, hands, by });
  } catch (error) {
    if (error instanceof SessionOver) talk.say("\nThe session is over; nothing was changed by it.");
    else if (error instanceof Left) {
      talk.say(
        `\nInterrupted, nothing lost: what was proven and taken is kept. Take it up again with: ${typed(again, options)}`,
      );
      const leaving = hands.leaving();
      if (leaving !== null) talk.say(leaving);
    } else throw error;
  }
}

/** Null = nobody stands at the tank. */
async function greet({ greeting }: Visit, talk: Talk, { by }: Options): Promise<string | null> {
  const { name, water } = greeting;
  talk.say(
    `${name}${water === "rehearsal" ? ": a rehearsal on simulated water; it proves nothing of real parts" : ""}`,
  );
  for (const caution of CAUTIONS.slice(0, 2)) talk.say(`- ${caution}`);
  talk.say(
    "Type “leave” to leave at any point; nothing is lost. `?` explains a question; Enter during a watch goes on without it.",
  );
  const away = process.env.SSH_CONNECTION === undefined ? "" : "You are connected from elsewhere. ";
  const stands = buildYesOrNo({
    id: "at-tank",
    asks: "Do you stand at the tank, with the water in sight",
    tells: `${away}Parts are proven by somebody who sees them.`,
  });
  if (!(await talk.ask(stands))) {
    talk.say("Then nothing is asked of the tank. Come back when you stand beside it.");
    return null;
  }
  if (by !== undefined) return by;
  return talk.ask(
    buildText(
      { id: "by", asks: "Your name or initials, kept with what you prove", usual: userInfo().username.slice(0, 40) },
      "1 to 40 letters, digits and signs",
      (answer) => /^[\p{L}\p{N}\p{P} ]{1,40}$/u.test(answer),
    ),
  );
}
