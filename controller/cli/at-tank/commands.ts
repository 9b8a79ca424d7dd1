import { Command, InvalidArgumentError } from "commander";
import { MACHINES } from "../../../shared/contract/requests.ts";
import { refusing } from "../refusing.ts";
import { requestFrom } from "../terminal.ts";
import { typed, USUAL_DATA, type Where } from "../typed.ts";
import { type Visit, type VisitOptions, visitController } from "./visit.ts";

/** Adds what every command needs that speaks with the running controller, and runs it with a visit. */
export function atTank<Words extends unknown[]>(
  command: Command,
  action: (visit: Visit, ...words: Words) => Promise<void>,
): Command {
  return command
    .option("--data <folder>", "the folder that the running controller was given", USUAL_DATA)
    .option("--tank <id>", "which tank, where several controllers run on that folder")
    .action((...all: unknown[]) => {
      const { data, tank } = command.opts<{ data: string; tank?: string }>();
      const options: VisitOptions = { data, tank: tank ?? null };
      return refusing(async () => {
        const visit = await visitController(options);
        try {
          await action(visit, ...(all as Words));
        } finally {
          visit.close();
        }
      });
    });
}

/** Asks, says the answer, and makes a refusal the exit code 1. */
export async function askAndSay(visit: Visit, kind: string, body: Readonly<Record<string, unknown>>): Promise<boolean> {
  const { accepted, why } = await visit.ask(kind, body);
  if (accepted) console.log(why);
  else {
    console.error(`Refused. ${why}`);
    process.exitCode = 1;
  }
  return accepted;
}

export const holdCommand = (): Command =>
  atTank(
    new Command("hold")
      .description("hands in the tank: stop pouring and heating for a while; --end when the hands are out")
      .argument("[minutes]", "1 to 120", minutesIn, 30)
      .option("--end [why]", "the hands are out; where the water is low, why: salt-water-added or evaporation"),
    async (visit, minutes: number, { end, ...where }: Where & { end?: string | true }) => {
      if (end !== undefined) await askAndSay(visit, "end-hold", { answer: end === true ? null : end });
      else if (await askAndSay(visit, "hold", { minutes }))
        console.log(`Unplug every mains device before hands go in. Then: ${typed("hold --end", where)}`);
    },
  );

function minutesIn(text: string): number {
  const minutes = Number(text.replace(",", "."));
  if (!(minutes >= 1 && minutes <= 240)) throw new InvalidArgumentError("Minutes from 1 to 120 are expected.");
  return minutes;
}

export const clearCommand = (): Command =>
  atTank(
    new Command("clear")
      .description("clear a lock after you have looked; without words: say what is locked")
      .argument("[machine]", MACHINES.join(", "))
      .argument("[number]", "the number that the lock shows, so that no later lock is cleared by it"),
    async (visit, machine: string | undefined, number: string | undefined, where: Where) => {
      if (machine !== undefined && number !== undefined) {
        await askAndSay(visit, "clear", { machine, occurrence: Number(number) });
        return;
      }
      const locked = MACHINES.filter((name) => visit.text(`${name}/latch`) !== "");
      if (locked.length === 0) console.log("Nothing is locked.");
      for (const name of locked) {
        const isClearable = visit.text(`${name}/clearable`) === "true";
        const isCareful = name !== "top-off" && visit.text(`${name}/state`) !== "locked";
        console.log(`${name} is ${isCareful ? "careful" : "locked"}. ${visit.text(`${name}/latch`)}`);
        const clear = `clear ${name} ${visit.text(`${name}/latch-number`)}`;
        if (isClearable) console.log(`  When you have looked: ${typed(clear, where)}`);
        else console.log(`  ${standingCause(visit, name)}`);
      }
      if (locked.length > 0) process.exitCode = 1;
    },
  );

/** What keeps it from being cleared, as far as the controller says it. */
function standingCause(visit: Visit, machine: (typeof MACHINES)[number]): string {
  const cause = visit.text(`${machine}/blockers`) || visit.text(`${machine}/why`);
  return cause === "" || cause === visit.text(`${machine}/latch`)
    ? "Its cause still stands, so it cannot be cleared yet."
    : `It cannot be cleared yet, because this still stands: ${cause}`;
}

export const askCommand = (): Command =>
  atTank(
    new Command("ask")
      .description("ask what can be typed into the controller's own terminal, such as: ask hand-test 35.0")
      .argument("<words...>", "as at that terminal; press Enter there on a word it does not know to see them all"),
    async (visit, words: string[]) => {
      const request = requestFrom(
        words.map((word) => word.toLowerCase()),
        "",
      );
      if (request === null) {
        console.error(
          `“${words.join(" ")}” is nothing that can be asked. Such as: hand-test 35.0, refill 8, acknowledge all.`,
        );
        process.exitCode = 1;
        return;
      }
      const { kind, id: _id, at: _at, ...body } = request;
      await askAndSay(visit, kind, body);
    },
  );
