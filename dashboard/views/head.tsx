import { useEffect } from "preact/hooks";
import type { Box } from "../incoming/box.ts";
import { readSentence } from "../incoming/payload.ts";
import { ageWords, timeWords } from "../pieces/words.ts";

/** The name, the one sentence, and what must be known before anything else on the page is believed. */
export function Head({ box }: { box: Box }) {
  useEffect(() => {
    document.title = `${box.isRehearsal ? "Rehearsal: " : ""}${box.tank.name}`;
  }, [box.isRehearsal, box.tank.name]);
  const sentence = readSentence(box.text("box", "sentence"));
  const nowMs = box.boxNowMs.value;
  return (
    <header class="head">
      <h1>{box.tank.name}</h1>
      <p class="sentence" role="status">
        {!box.fresh.value && sentence !== "" && <span class="was">Last word: </span>}
        {sentence || "Nothing has been said about this tank yet."}
      </p>
      {!box.isRehearsal && nowMs !== null && box.fresh.value && (
        <p class="clock">
          <time dateTime={new Date(nowMs).toISOString()}>{timeWords(nowMs, null)}</time>
        </p>
      )}
    </header>
  );
}

/** Stays in sight wherever the page is scrolled to: nobody may take a rehearsal for water. */
export function RehearsalMark({ box }: { box: Box }) {
  if (!box.isRehearsal) return null;
  const nowMs = box.boxNowMs.value;
  return (
    <aside class="rehearsal" aria-label="Rehearsal">
      <strong>Rehearsal: simulated water, time ×{box.tank.speed}</strong>
      <span>{nowMs === null ? "simulated clock not known" : `simulated clock ${timeWords(nowMs, null)}`}</span>
    </aside>
  );
}

export function SilenceMark({ box }: { box: Box }) {
  const isSilent = !box.fresh.value;
  return (
    <div class="silence-place" role="alert">
      {isSilent && <Silence box={box} />}
    </div>
  );
}

function Silence({ box }: { box: Box }) {
  const wordMs = box.lastWordMs.value;
  // The page's own clock says how long ago that was only on real water; simulated time has no other clock.
  const ageMs = wordMs === null || box.isRehearsal ? null : Date.now() - wordMs;
  const link = box.link.value;
  if (wordMs === null && link === "connecting")
    return <p class="silence">Connecting to the controller… {box.trouble.value}</p>;
  return (
    <p class="silence">
      <strong>
        {wordMs === null
          ? "No word from the controller yet."
          : `No word from the controller since ${timeWords(wordMs, ageMs === null ? wordMs : Date.now())}`}
      </strong>
      {ageMs !== null && ageMs >= 60_000 && <span aria-hidden="true"> ({ageWords(ageMs)})</span>}
      {wordMs !== null && ". Everything below is old and may be wrong by now: look at the tank."}
      {link === "closed" && " Trying to connect again."}
      {box.trouble.value !== "" && ` ${box.trouble.value}`}
    </p>
  );
}
