import { CALIBRATED_WORDS } from "../../shared/contract/walk.ts";
import type { Box } from "../incoming/box.ts";
import { readCalibration, type ShownCalibration, type ShownEntry } from "../incoming/calibration.ts";
import { AnswerLine, useAsking } from "../pieces/answer-line.tsx";
import { ageWords, valueWords } from "../pieces/words.ts";
import { SessionBegin, SessionUnderWay } from "./session.tsx";

interface CalibrationProps {
  readonly box: Box;
  readonly isAtTank: boolean;
  readonly by: string;
}

/** What the readings are corrected by, the session under way, and every calibration that is kept. */
export function Calibration({ box, isAtTank, by }: CalibrationProps) {
  const { answer, ask } = useAsking(box);
  const status = readCalibration(box.text("calibration", "status"));
  return (
    <div class="calibration">
      <h3>What corrects the readings</h3>
      {status === null ? (
        <p class="aside">Nothing that can be read was said about calibrations.</p>
      ) : (
        <>
          <InForce status={status} />
          {status.session !== null ? (
            <SessionUnderWay session={status.session} isAtTank={isAtTank} ask={(body) => ask("calibrate", body)} />
          ) : (
            <SessionBegin
              isAtTank={isAtTank}
              begin={(session) => ask("calibrate", { step: "begin", session, ...name(by) })}
            />
          )}
          <AnswerLine answer={answer} />
          <Entries entries={status.entries} undo={isAtTank ? (number) => ask("undo-calibration", { number }) : null} />
        </>
      )}
    </div>
  );
}

const name = (by: string): { by?: string } => (by === "" ? {} : { by });

function InForce({ status: { inForce } }: { status: ShownCalibration }) {
  return (
    <dl class="figures">
      {inForce.map(({ what, value, unit, number, ageMs }) => (
        <div key={what}>
          <dt>{CALIBRATED_WORDS[what]}</dt>
          <dd>
            {amount(value)} {unit}
            <span class="aside">
              {" "}
              {number === null ? "as in the settings" : ageMs === null ? "calibrated" : `calibrated ${ageWords(ageMs)}`}
            </span>
          </dd>
        </div>
      ))}
    </dl>
  );
}

const amount = (value: number): string =>
  valueWords(value, Math.abs(value) >= 10 ? 1 : 3)
    .replace(/(\.\d*?)0+$/, "$1")
    .replace(/\.$/, "");

const STANDING_WORDS: Readonly<Record<ShownEntry["standing"], string>> = {
  "in-force": "in force",
  followed: "followed by a later one",
  undone: "taken back",
  fallen: "fallen: the settings have changed",
};

function Entries({ entries, undo }: { entries: readonly ShownEntry[]; undo: ((number: number) => void) | null }) {
  if (entries.length === 0) return <p class="aside">Nothing was calibrated yet.</p>;
  return (
    <details class="others">
      <summary>Every calibration that is kept ({entries.length})</summary>
      <ol class="kept">
        {entries.map((entry) => (
          <li key={entry.number} data-standing={entry.standing}>
            {entry.number}: {CALIBRATED_WORDS[entry.what]} {amount(entry.before)} →{" "}
            {`${amount(entry.after)} ${entry.unit}`.trimEnd()}, {ageWords(entry.ageMs)}
            {entry.by !== "" && ` by ${entry.by}`}
            {entry.lot !== "" && `, lot ${entry.lot}`}, {STANDING_WORDS[entry.standing]}.{" "}
            {undo !== null && entry.standing === "in-force" && (
              <button type="button" class="button" onClick={() => undo(entry.number)}>
                Take back number {entry.number}
              </button>
            )}
          </li>
        ))}
      </ol>
    </details>
  );
}
