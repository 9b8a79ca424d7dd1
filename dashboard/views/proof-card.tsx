import { useSignal } from "@preact/signals";
import {
  PROOF_WORDS,
  PROVING_RUNS,
  type ProofPart,
  type ProvingRun,
  RUN_LEAST_S,
  RUN_MOST_S,
} from "../../shared/contract/proving.ts";
import { USUAL_RUN_S, WALK } from "../../shared/contract/walk.ts";
import type { Box } from "../incoming/box.ts";
import type { ShownProof } from "../incoming/proving.ts";
import { AnswerLine, useAsking } from "../pieces/answer-line.tsx";
import { seenIn } from "../pieces/seen.ts";
import { StandingMark } from "../pieces/standing-mark.tsx";
import { ageWords } from "../pieces/words.ts";

interface CardProps {
  readonly box: Box;
  readonly proof: ShownProof;
  readonly isAtTank: boolean;
  /** A run is under way: nothing else may begin. */
  readonly isBusy: boolean;
  readonly by: string;
}

/** One part: how its proof stands, what to do, and, while somebody is there, the buttons for it. */
export function ProofCard({ box, proof, isAtTank, isBusy, by }: CardProps) {
  const { part, standing, gates, next } = proof;
  const { answer, ask } = useAsking(box);
  const seen = seenIn(box);
  const step = WALK[part];
  const isOff = gates !== null && (standing === "never" || standing === "fallen");
  return (
    <li class="proof" data-part={part} data-standing={standing}>
      <details>
        <summary>
          <StandingMark standing={standing} />
          <span class="proof-name">{PROOF_WORDS[part]}</span> <span class="proof-standing">{standingWords(proof)}</span>
        </summary>
        {isOff && (
          <p>
            <strong>{GATED[gates]} stays off until this is proven.</strong>
          </p>
        )}
        <p>{next}</p>
        <p class="aside">{step.watches}</p>
        {step.caution !== null && <p class="caution">Caution. {step.caution}</p>}
        {step.inHold && (
          <p class="aside">Hands go in: start a hold first, at the tank, so that the heater is off too.</p>
        )}
        {step.shows.map((one) => (
          <p key={one.name} class="aside">
            {one.name}: <strong>{seen(one)}</strong>
          </p>
        ))}
        {!isAtTank && <p class="aside">To be done at the tank.</p>}
        {isAtTank && !isBusy && isRun(part) && (
          <RunForm part={part} run={(seconds) => ask("prove", { part, seconds })} />
        )}
        {isAtTank && !isBusy && proof.isReady && (
          <ProvenForm part={part} say={(body) => ask("proven", { part, ...(by === "" ? {} : { by }), ...body })} />
        )}
        <AnswerLine answer={answer} />
      </details>
    </li>
  );
}

const GATED = { "top-off": "Top-off", heat: "The heater", "second-heat": "The second heater" } as const;

const isRun = (part: ProofPart): part is ProvingRun => (PROVING_RUNS as readonly ProofPart[]).includes(part);

const STANDING_WORDS: Readonly<Record<ShownProof["standing"], string>> = {
  never: "never proven",
  fallen: "not proven any more: its settings have changed",
  proven: "proven",
  due: "due again; proven",
  overdue: "overdue; proven",
  unknown: "unknown",
};

function standingWords({ standing, ageMs, by, reading }: ShownProof): string {
  const words = STANDING_WORDS[standing];
  if (ageMs === null || !["proven", "due", "overdue"].includes(standing)) return words;
  return [`${words} ${ageWords(ageMs)}`, by === "" ? "" : ` by ${by}`, reading === "" ? "" : `, ${reading}`].join("");
}

function RunForm({ part, run }: { part: ProvingRun; run: (seconds: number) => void }) {
  const seconds = useSignal(String(USUAL_RUN_S[part]));
  const [least, most] = [RUN_LEAST_S[part], RUN_MOST_S[part]];
  const span = least === most ? `${most}` : `${least} to ${most}`;
  const value = /^\d{1,3}$/.test(seconds.value) ? Number(seconds.value) : 0;
  const fits = value >= least && value <= most;
  return (
    <form
      class="entry"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        if (fits) run(value);
      }}
    >
      <label for={`seconds-${part}`}>Seconds, {span}</label>
      <div class="entry-row">
        <input
          id={`seconds-${part}`}
          type="text"
          inputMode="numeric"
          maxLength={3}
          value={seconds.value}
          aria-invalid={!fits}
          onInput={(event) => (seconds.value = event.currentTarget.value)}
        />
        <button type="submit" class="button">
          {fits ? `Begin: ${PROOF_WORDS[part]}, ${value} s` : `Give ${span} seconds`}
        </button>
      </div>
    </form>
  );
}

/** What a person says after they have seen it. */
const SAW: Partial<Readonly<Record<ProofPart, string>>> = {
  "water-guard": "The pump stood still: proven",
  "heat-guard": "The heater stayed dark: proven",
  "heater-1": "The heater came on: proven",
  "heater-thermostat": "It cut, and is set back: proven",
  "heat-guard-2": "The second heater stayed dark: proven",
  "heater-2": "The second heater came on: proven",
  "heater-2-thermostat": "It cut, and is set back: proven",
  "protective-device": "It tripped, and all runs again: proven",
};

interface ProvenFormProps {
  readonly part: ProofPart;
  readonly say: (body: Readonly<Record<string, number | boolean>>) => void;
}

/** What is measured with the proof; only the level may be left out. */
const MEASURED: Partial<Readonly<Record<ProofPart, { readonly field: "ml" | "mm"; readonly label: string }>>> = {
  "pump-off-level": { field: "mm", label: "Water above the working mark, mm (if measured)" },
  "top-off-pump": { field: "ml", label: "Millilitres in the jug" },
  siphon: { field: "ml", label: "Millilitres that ran after the stop" },
};

function ProvenForm({ part, say }: ProvenFormProps) {
  const typed = useSignal("");
  const isBackward = useSignal(false);
  const measured = MEASURED[part];
  if (measured === undefined) {
    return (
      <button type="button" class="button button-main" onClick={() => say({})}>
        {SAW[part] ?? `Call it proven: ${PROOF_WORDS[part]}`}
      </button>
    );
  }
  const { field, label } = measured;
  const text = typed.value.trim().replace(",", ".");
  const value = /^\d{1,4}(\.\d)?$/.test(text) ? Number(text) : null;
  const isLeftOut = field === "mm" && text === "";
  return (
    <form
      class="entry"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        if (value !== null) say(part === "siphon" ? { ml: value, backward: isBackward.value } : { [field]: value });
        else if (isLeftOut) say({});
      }}
    >
      <label for={`${field}-${part}`}>{label}</label>
      {part === "siphon" && (
        <label class="tick">
          <input
            type="checkbox"
            checked={isBackward.value}
            onChange={(event) => (isBackward.value = event.currentTarget.checked)}
          />{" "}
          water ran back towards the reservoir
        </label>
      )}
      <div class="entry-row">
        <input
          id={`${field}-${part}`}
          type="text"
          inputMode="decimal"
          maxLength={6}
          value={typed.value}
          onInput={(event) => (typed.value = event.currentTarget.value)}
        />
        <button type="submit" class="button">
          {buttonWords(field, value !== null, isLeftOut, part)}
        </button>
      </div>
    </form>
  );
}

function buttonWords(field: "ml" | "mm", isRead: boolean, isLeftOut: boolean, part: ProofPart): string {
  if (field === "ml") return isRead ? "Enter millilitres" : "Give millilitres";
  return isRead || isLeftOut ? `Call it proven: ${PROOF_WORDS[part]}` : "Give millimetres";
}
