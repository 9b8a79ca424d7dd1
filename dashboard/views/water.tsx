import type { ComponentChildren } from "preact";
import type { Box } from "../incoming/box.ts";
import { readNumber, readOneOf } from "../incoming/payload.ts";
import { isAged, readQuantity, type ShownQuantity } from "../incoming/quantity.ts";
import { LEVEL_WORDS, levelSentence, type ShownLevel } from "../pieces/level-words.ts";
import { QualityMark } from "../pieces/marks.tsx";
import { ageWords, timeWords, uncertaintyWords, valueWords } from "../pieces/words.ts";

/** The three things that are kept even, each with its doubt. */
export function Water({ box }: { box: Box }) {
  const { targets } = box.tank;
  return (
    <section class="water" aria-labelledby="water-title">
      <h2 id="water-title">The water</h2>
      <Measured box={box} node="temperature" probe="a thermometer" name="Temperature" unit="°C" decimals={1}>
        <p class="aside">
          target {valueWords(targets.temperatureC, 1)} °C, good from {valueWords(targets.temperatureBandC[0], 1)} to{" "}
          {valueWords(targets.temperatureBandC[1], 1)}
        </p>
      </Measured>
      <Measured box={box} node="salinity" probe="the probe" name="Salinity" unit="" decimals={1}>
        <p class="aside">
          practical salinity, target {valueWords(targets.salinity, 1)}, good from{" "}
          {valueWords(targets.salinityBand[0], 1)} to {valueWords(targets.salinityBand[1], 1)}
        </p>
        <SpecificGravity box={box} />
      </Measured>
      <LevelWords box={box} />
    </section>
  );
}

interface MeasuredProps {
  box: Box;
  node: string;
  /** What a doubt is about: "the probe" stands in bubbles. */
  probe: string;
  name: string;
  unit: string;
  decimals: number;
  children: ComponentChildren;
}

function Measured({ box, node, probe, name, unit, decimals, children }: MeasuredProps) {
  const shown = readQuantity(box, node);
  const value = shown.value ?? shown.lastValue;
  const isOld = shown.value === null || !box.fresh.value || isAged(shown, box);
  return (
    <article class="measured" data-node={node} data-quality={shown.quality} data-old={isOld}>
      <h3>{name}</h3>
      <p class="value">
        {value === null ? (
          <span class="number">unknown</span>
        ) : (
          <>
            {isOld && <span class="was">{shown.value === null ? "last value " : "was "}</span>}
            <span class="number">{valueWords(value, decimals)}</span>
            {shown.value !== null && shown.uncertainty !== null && (
              <span class="plus-minus"> ± {uncertaintyWords(shown.uncertainty, decimals)}</span>
            )}
            {unit !== "" && <span class="unit"> {unit}</span>}
          </>
        )}
      </p>
      <p class="quality">
        <QualityMark quality={shown.quality} />
        {qualityWords(shown, probe, box)}
      </p>
      {children}
    </article>
  );
}

function qualityWords(shown: ShownQuantity, probe: string, box: Box): string {
  const when = whenWords(shown.measuredAtMs, box);
  const why = shown.doubt === "" ? "" : `: ${probe} ${shown.doubt}`;
  switch (shown.quality) {
    case "good":
      return `${isAged(shown, box) || !box.fresh.value ? "was good" : "good"}, ${when}`;
    case "uncertain":
      return `uncertain${why}; ${when}`;
    case "bad":
      return `cannot be trusted${why}${shown.lastValue === null ? "" : `; last value ${when}`}`;
    case "unknown":
      return "unknown: the controller has said nothing about it that can be read";
  }
}

function whenWords(atMs: number | null, box: Box): string {
  const nowMs = box.boxNowMs.value;
  if (atMs === null) return "time of measuring unknown";
  // Without a live word there is no telling what time it is at the box; then only the moment itself is true.
  if (nowMs === null || !box.fresh.value) return `measured at ${timeWords(atMs, nowMs)}`;
  return `measured ${ageWords(Math.max(0, nowMs - atMs))}`;
}

function SpecificGravity({ box }: { box: Box }) {
  const shown = readQuantity(box, "specific-gravity");
  if (shown.value === null) return <p class="aside">specific gravity not known</p>;
  return (
    <p class="aside">
      specific gravity {valueWords(shown.value, 4)}
      {shown.uncertainty !== null && ` ± ${uncertaintyWords(shown.uncertainty, 4)}`} (25/25 °C)
    </p>
  );
}

function LevelWords({ box }: { box: Box }) {
  const level = readLevel(box);
  const quality = level.state === "unknown" ? "unknown" : level.state === "contradiction" ? "bad" : "good";
  return (
    <article
      class="measured"
      data-node="level"
      data-quality={quality}
      data-level={level.state}
      data-old={!box.fresh.value}
    >
      <h3>Level</h3>
      <p class="value">
        {!box.fresh.value && level.state !== "unknown" && <span class="was">was </span>}
        <span class="number">
          {level.state === "high" && <span aria-hidden="true">▲ </span>}
          {LEVEL_WORDS[level.state]}
        </span>
      </p>
      <p class="quality">
        <QualityMark quality={quality} />
        {levelSentence(level)}
      </p>
      <p class="aside">in the last chamber, from floats: an interval, not a reading</p>
    </article>
  );
}

export function readLevel(box: Box): ShownLevel {
  const known = Object.keys(LEVEL_WORDS) as (keyof typeof LEVEL_WORDS)[];
  return {
    state: readOneOf(box.text("level", "state"), known) ?? "unknown",
    fromMm: readNumber(box.text("level", "from-mm")),
    toMm: readNumber(box.text("level", "to-mm")),
    estimateMm: readNumber(box.text("level", "estimate-mm")),
  };
}
