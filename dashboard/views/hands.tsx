import { useSignal } from "@preact/signals";
import type { Box } from "../incoming/box.ts";
import { readBoolean, readTimeMs } from "../incoming/payload.ts";
import { AnswerLine, useAsking } from "../pieces/answer-line.tsx";
import { leftWords, timeWords } from "../pieces/words.ts";

const CHOICES_MINUTES = [15, 30, 60, 120] as const;

/** The hold: a timed stop while hands are in the tank, and the question that may follow it. */
export function Hands({ box }: { box: Box }) {
  const { answer, ask } = useAsking(box);
  const isActive = readBoolean(box.text("hold", "active"));
  const isAsking = readBoolean(box.text("hold", "question")) === true;
  return (
    <section class="hands" aria-labelledby="hands-title">
      <h2 id="hands-title">Hands in the tank</h2>
      {isActive === true ? (
        <HoldRunning box={box} end={() => ask("end-hold", {})} />
      ) : (
        <HoldChoice start={(minutes) => ask("hold", { minutes })} />
      )}
      {isAsking && <HoldQuestion answer={(words) => ask("end-hold", { answer: words })} />}
      <AnswerLine answer={answer} />
    </section>
  );
}

function HoldChoice({ start }: { start: (minutes: number) => void }) {
  const minutes = useSignal(30);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        start(minutes.value);
      }}
    >
      <fieldset class="choices">
        <legend>Hold top-off for</legend>
        {CHOICES_MINUTES.map((choice) => (
          <label key={choice}>
            <input
              type="radio"
              name="hold-minutes"
              value={choice}
              checked={minutes.value === choice}
              onChange={() => (minutes.value = choice)}
            />
            <span>{choice} min</span>
          </label>
        ))}
      </fieldset>
      <button type="submit" class="button button-main">
        Hold for {minutes.value} minutes
      </button>
      <p class="aside">
        A hold from here stops pouring, and the heater only while somebody is at the tank. Unplug the heater and every
        other mains device before hands go in.
      </p>
    </form>
  );
}

function HoldRunning({ box, end }: { box: Box; end: () => void }) {
  const untilMs = readTimeMs(box.text("hold", "until"));
  const nowMs = box.boxNowMs.value;
  const withHeat = readBoolean(box.text("hold", "with-heat"));
  return (
    <div class="hold-running">
      <p class="countdown">
        {untilMs === null
          ? "Holding; its end is not known."
          : box.fresh.value && nowMs !== null
            ? `${leftWords(untilMs - nowMs)} left`
            : `Held until ${timeWords(untilMs, nowMs)}`}
      </p>
      <p>
        {withHeat === true ? "Pouring and heating are stopped" : "Pouring is stopped"}
        {untilMs !== null && ` until ${timeWords(untilMs, nowMs)}`}.
        {withHeat === false && " The heater goes on: unplug it before hands go in."}
        {withHeat === null && " Whether the heater is stopped too is not known: unplug it before hands go in."}
      </p>
      <button type="button" class="button button-main" onClick={end}>
        End the hold now
      </button>
    </div>
  );
}

function HoldQuestion({ answer }: { answer: (words: "salt-water-added" | "evaporation") => void }) {
  return (
    <fieldset class="question">
      <legend>The hold is over and the water is low. Why?</legend>
      <p>
        If salt water left the tank, put salt water back first and then say so: fresh water in its place would thin the
        sea. Pouring waits for your answer.
      </p>
      <button type="button" class="button" onClick={() => answer("salt-water-added")}>
        Salt water added
      </button>
      <button type="button" class="button" onClick={() => answer("evaporation")}>
        It is evaporation
      </button>
    </fieldset>
  );
}
