import { MACHINE_WORDS, MACHINES, type Machine } from "../../shared/contract/requests.ts";
import type { Box } from "../incoming/box.ts";
import { readBoolean, readNumber, readSentence } from "../incoming/payload.ts";
import { AnswerLine, useAsking } from "../pieces/answer-line.tsx";

/** What stays off until a person says that it may go on. */
export function Latches({ box }: { box: Box }) {
  return (
    <>
      {MACHINES.map((machine) => (
        <LatchCard key={machine} box={box} machine={machine} name={MACHINE_WORDS[machine]} />
      ))}
    </>
  );
}

function LatchCard({ box, machine, name }: { box: Box; machine: Machine; name: string }) {
  const { answer, ask } = useAsking(box);
  const latch = readSentence(box.text(machine, "latch"));
  const number = readNumber(box.text(machine, "latch-number"));
  // Nothing is locked: something was found, for which the heater runs part of the time only.
  const isCareful = machine !== "top-off" && box.text(machine, "state") !== "locked";
  const isClearable = readBoolean(box.text(machine, "clearable"));
  return (
    <div class="latch-place">
      {latch !== "" && (
        <div class="latch" data-machine={machine}>
          <h3>
            {name} is {isCareful ? "careful" : "locked"} until a person clears it
          </h3>
          <p>{latch}</p>
          {isClearable === false && <p class="aside">Its cause still stands, so it cannot be cleared yet.</p>}
          {number === null ? (
            <p class="aside">Its number is not known, so it cannot be cleared from here.</p>
          ) : (
            isClearable !== false && (
              <button type="button" class="button" onClick={() => ask("clear", { machine, occurrence: number })}>
                I have looked: clear {isCareful ? "finding" : "lock"} {number} of {name.toLowerCase()}
              </button>
            )
          )}
        </div>
      )}
      <AnswerLine answer={answer} />
    </div>
  );
}
