import { useSignal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { PROOF_WORDS } from "../../shared/contract/proving.ts";
import { WALK } from "../../shared/contract/walk.ts";
import type { Box } from "../incoming/box.ts";
import { readProving, type ShownProving, type ShownRun } from "../incoming/proving.ts";
import { AnswerLine, useAsking } from "../pieces/answer-line.tsx";
import { seenIn } from "../pieces/seen.ts";
import { leftWords } from "../pieces/words.ts";
import { Calibration } from "./calibration.tsx";
import { ProofCard } from "./proof-card.tsx";
import "../style/proving.css";

/** Every part with its proof, the run under way, and what corrects the readings. */
export function ProvingSheet({ box }: { box: Box }) {
  const by = useSignal("");
  const { answer, ask } = useAsking(box);
  const status = readProving(box.text("proving", "status"));
  const atTankLeftMs = useLeftMs(box, status?.atTankLeftMs ?? 0);
  if (status === null) return <p class="aside">Nothing that can be read was said about proofs.</p>;
  const isAtTank = atTankLeftMs > 0;
  return (
    <div class="proving-sheet">
      <Place isAtTank={isAtTank} leftMs={atTankLeftMs} />
      {isAtTank && (
        <div class="entry">
          <label for="proven-by">Your name or initials</label>
          <span class="hint">kept with what you prove and calibrate</span>
          <input
            id="proven-by"
            type="text"
            maxLength={40}
            autoComplete="off"
            value={by.value}
            onInput={(event) => (by.value = event.currentTarget.value)}
          />
        </div>
      )}
      {status.run !== null && <RunUnderWay box={box} run={status.run} stop={() => ask("end-run", {})} />}
      {status.run === null && status.lastRun !== null && (
        <p class="aside">
          Last run, {PROOF_WORDS[status.lastRun.part]}: {status.lastRun.why}
        </p>
      )}
      <AnswerLine answer={answer} />
      <Fallen status={status} />
      <ul class="proofs">
        {status.parts.map((proof) => (
          <ProofCard
            key={proof.part}
            box={box}
            proof={proof}
            isAtTank={isAtTank}
            isBusy={status.run !== null}
            by={by.value}
          />
        ))}
      </ul>
      <Calibration box={box} isAtTank={isAtTank} by={by.value} />
    </div>
  );
}

function Place({ isAtTank, leftMs }: { isAtTank: boolean; leftMs: number }) {
  if (isAtTank) {
    return (
      <p class="place">
        <strong>Somebody stands at the tank</strong>, for {leftWords(leftMs)} more: what is pressed here is taken.
      </p>
    );
  }
  return (
    <p class="place">
      <strong>Proving is done at the tank.</strong> On the controller's own computer, <code>evenbrine prove</code> leads
      through all of it; or <code>evenbrine ask at-tank 30</code> there lets it be done from this page for half an hour.
    </p>
  );
}

function RunUnderWay({ box, run, stop }: { box: Box; run: ShownRun; stop: () => void }) {
  const leftMs = useLeftMs(box, run.leftMs, `${run.part} ${run.phase}`);
  const seen = seenIn(box);
  return (
    <div class="run-under-way" data-part={run.part}>
      <h3>
        {PHASE_WORDS[run.phase]}: {PROOF_WORDS[run.part]}
      </h3>
      <p class="countdown">{leftWords(leftMs)} left</p>
      <dl class="figures">
        {WALK[run.part].shows.map((one) => (
          <div key={one.name}>
            <dt>{one.name}</dt>
            <dd>{seen(one)}</dd>
          </div>
        ))}
      </dl>
      <button type="button" class="button button-main" onClick={stop}>
        Stop it now
      </button>
    </div>
  );
}

const PHASE_WORDS = { "waiting-for-disk": "Waiting for the disk", running: "Running", watching: "Watching" } as const;

function Fallen({ status: { fallen } }: { status: ShownProving }) {
  if (fallen.length === 0) return null;
  return (
    <ul class="fallen">
      {fallen.map(({ part, why }) => (
        <li key={part}>
          <strong>{PROOF_WORDS[part]}:</strong> {why}
        </li>
      ))}
    </ul>
  );
}

/** Counts down between two words of the controller. */
function useLeftMs(box: Box, leftMs: number, what = ""): number {
  const told = useRef({ key: "", atMs: 0 });
  const nowMs = box.boxNowMs.value ?? 0;
  const key = `${what} ${leftMs}`;
  if (told.current.key !== key) told.current = { key, atMs: nowMs };
  return Math.max(0, leftMs - (nowMs - told.current.atMs));
}
