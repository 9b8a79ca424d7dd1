import type { Box } from "../incoming/box.ts";
import { readNumber, readOneOf, readSentence } from "../incoming/payload.ts";
import { uncertaintyWords, valueWords } from "../pieces/words.ts";

const BELIEF_WORDS = {
  "evaporation-only": "evaporation, and nothing else",
  "more-evaporation-or-weaker-pump": "more evaporation, or a weaker pump",
  "fresh-water-or-salt-leaving": "fresh water unexplained, or salt water leaving",
  "probe-drift-or-slow-salt-loss": "the probe drifts, or salt is slowly lost",
  "reservoir-not-fresh": "the reservoir is not fresh",
  unknown: "cannot tell",
} as const;

/** Where water and salt go, as far as the controller can tell, and what would settle it. */
export function Ledger({ box }: { box: Box }) {
  const text = (property: string): string => readSentence(box.text("ledger", property));
  const belief = readOneOf(box.text("ledger", "belief"), Object.keys(BELIEF_WORDS));
  const check = text("check");
  const sure = readNumber(box.text("ledger", "sureness"));
  return (
    <article class="machine" data-machine="ledger" data-old={!box.fresh.value}>
      <h3>
        Water and salt:{" "}
        <span class="state">{belief === null ? "unknown" : BELIEF_WORDS[belief as keyof typeof BELIEF_WORDS]}</span>
      </h3>
      <p class="why">
        {text("says") || "Nothing was said."}
        {belief !== "unknown" && sure !== null && ` ${valueWords(sure, 0)} % sure.`}
      </p>
      {belief !== "evaporation-only" && check !== "" && <p class="why">To settle it: {check}</p>}
      <dl class="figures">
        <Doubtful box={box} name="fresh water a day" property="litres-per-day" unit="L" decimals={1} />
        <Doubtful box={box} name="evaporation learned, a day" property="evaporation-per-day" unit="L" decimals={1} />
        <Doubtful box={box} name="salinity at the mark" property="salinity-at-full" unit="" decimals={1} />
        <Doubtful box={box} name="flow of the pump" property="pump-strength" unit="%" decimals={0} />
        <Doubtful box={box} name="heat lost" property="heat-loss" unit="W" decimals={0} />
        <Forecast box={box} name="reservoir lasts" property="reservoir-days" unit="days" />
        <Forecast box={box} name="salinity leaves its band in" property="salinity-hours" unit="h" />
        <Forecast box={box} name="temperature leaves its band in" property="temperature-hours" unit="h" />
      </dl>
    </article>
  );
}

interface FigureProps {
  box: Box;
  name: string;
  property: string;
  unit: string;
}

function Doubtful({ box, name, property, unit, decimals }: FigureProps & { decimals: number }) {
  const value = readNumber(box.text("ledger", property));
  const doubt = readNumber(box.text("ledger", `${property}-uncertainty`));
  const words =
    value === null || doubt === null
      ? "not known"
      : `${valueWords(value, decimals)} ± ${uncertaintyWords(doubt, decimals)} ${unit}`;
  return (
    <div>
      <dt>{name}</dt>
      <dd>{words}</dd>
    </div>
  );
}

/** Shown only where something is foreseen. */
function Forecast({ box, name, property, unit }: FigureProps) {
  const earliest = readNumber(box.text("ledger", `${property}-earliest`));
  const latest = readNumber(box.text("ledger", `${property}-latest`));
  if (earliest === null) return null;
  const until = latest === null ? "or more, perhaps never" : `to ${valueWords(latest, 1)}`;
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        {valueWords(earliest, 1)} {until} {unit}
      </dd>
    </div>
  );
}
