import { useComputed, useSignal } from "@preact/signals";
import type { Box } from "../incoming/box.ts";
import { readMarks } from "../incoming/marks.ts";
import { valueWords } from "../pieces/words.ts";
import { type PartLine, partLines, readParts, type ShownParts } from "./parts.ts";
import { CHAMBER, drawnLevel, GLASS, type Heights, heightOfMm, RESERVOIR } from "./tank-heights.ts";

/** The tank in cross-section, and the same in words. */
export function Tank({ box }: { box: Box }) {
  const parts = readParts(box);
  const lines = partLines(parts, box);
  const isOld = !box.fresh.value;
  const marks = useComputed(() => readMarks(box)).value;
  const heights = heightOfMm(marks.highFloatMm, marks.lowFloatMm);
  const words = lines.map(({ name, words: line }) => `${name}: ${line}.`).join(" ");
  return (
    <section class="tank" aria-labelledby="tank-title" data-old={isOld}>
      <h2 id="tank-title">The tank in cross-section</h2>
      <svg class="drawing" viewBox="0 0 340 322" role="img" aria-label={`${isOld ? "As last told. " : ""}${words}`}>
        <Hatches />
        <Display />
        <Rear parts={parts} />
        <LastChamber parts={parts} heights={heights} />
        <TopOff parts={parts} heights={heights} />
        <Reservoir parts={parts} fullL={box.tank.geometry.reservoirL} />
        <Switches parts={parts} />
        <Floor parts={parts} />
        {box.isRehearsal && (
          <text class="simulated" x="102" y="126" text-anchor="middle">
            simulated
          </text>
        )}
        {isOld && (
          <text class="old-words" x="102" y="48" text-anchor="middle">
            old: as last told
          </text>
        )}
      </svg>
      <PartsInWords lines={lines} />
    </section>
  );
}

/** What is abnormal stands in sight; the rest is there for whoever asks. */
function PartsInWords({ lines }: { lines: readonly PartLine[] }) {
  const isOpen = useSignal(false);
  const list = (some: readonly PartLine[]) => (
    <dl class="parts">
      {some.map(({ name, words, isAbnormal }) => (
        <div key={name} class={isAbnormal ? "abnormal" : ""}>
          <dt>{name}</dt>
          <dd>
            {isAbnormal && <span aria-hidden="true">▲ </span>}
            {words}
          </dd>
        </div>
      ))}
    </dl>
  );
  const abnormal = lines.filter(({ isAbnormal }) => isAbnormal);
  const others = lines.filter(({ isAbnormal }) => !isAbnormal);
  return (
    <>
      {abnormal.length > 0 && list(abnormal)}
      {others.length > 0 && (
        <details class="others" open={isOpen.value} onToggle={(event) => (isOpen.value = event.currentTarget.open)}>
          <summary>{abnormal.length > 0 ? "The other parts in words" : "Every part in words"}</summary>
          {list(others)}
        </details>
      )}
    </>
  );
}

function Hatches() {
  return (
    <defs>
      <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path class="hatch-line" d="M0 0 V6" />
      </pattern>
      <clipPath id="chamber-inside">
        <rect x={CHAMBER.left} y={GLASS.top} width={CHAMBER.right - CHAMBER.left} height={GLASS.bottom - GLASS.top} />
      </clipPath>
    </defs>
  );
}

/** Water, sand, a rock: calm and without any news. */
function Display() {
  return (
    <g>
      <path class="water" d={`M10 62 H196 V${GLASS.bottom} H10 Z`} />
      <path class="sand" d={`M10 186 Q50 178 96 184 T196 181 V${GLASS.bottom} H10 Z`} />
      <path
        class="rock"
        d="M38 184 Q40 160 58 158 Q64 138 86 144 Q104 132 118 150 Q140 150 146 170 Q154 174 156 183 Q96 190 38 184 Z"
      />
      <path class="rock-line" d="M58 158 Q66 166 62 176 M86 144 Q92 156 106 158 M118 150 Q112 164 126 172" />
      <path
        class="growth"
        d="M70 146 V124 M70 134 L62 126 M70 132 L78 122 M100 138 V118 M100 128 L92 120 M100 126 L109 118 M134 152 V136 M134 144 L127 138 M134 143 L141 135"
      />
      <path class="surface" d="M10 62 H196" />
      <text class="label" x="20" y="82">
        display
      </text>
    </g>
  );
}

function Rear({ parts }: { parts: ShownParts }) {
  return (
    <g>
      <path class="water" d={`M196 78 H240 V${GLASS.bottom} H196 Z`} />
      <path class="surface" d="M196 78 H240" />
      <path class="glass" d={`M196 ${GLASS.bottom} V68 M196 66 V52`} />
      <path class="comb" d="M196 54 V66" />
      <path class="spill" d="M196 62 Q203 64 203 77" />
      <path class="glass" d={`M240 ${GLASS.bottom} V88`} />
      <path class={`spill ${parts.returnPump === "stopped" ? "is-still" : ""}`} d="M240 82 Q247 86 247 100" />
      <path class={`glass-outer`} d={`M10 ${GLASS.top} V${GLASS.bottom} H318 V${GLASS.top}`} />
      {parts.hasSecondHeater ? <TwoHeaters parts={parts} /> : <OneHeater on={parts.isHeaterOn} />}
    </g>
  );
}

const onWord = (on: boolean | null): string => (on === null ? "?" : on ? "on" : "off");

function OneHeater({ on }: { on: boolean | null }) {
  return (
    <g>
      <Heater x={218} on={on} />
      <text class="label label-strong" x="218" y="28" text-anchor="middle">
        heater {onWord(on)}
      </text>
    </g>
  );
}

function TwoHeaters({ parts }: { parts: ShownParts }) {
  return (
    <g>
      <Heater x={208} on={parts.isHeaterOn} />
      <Heater x={228} on={parts.isSecondHeaterOn} />
      <text class="label label-strong" x="218" y="28" text-anchor="middle">
        heaters {onWord(parts.isHeaterOn)}, {onWord(parts.isSecondHeaterOn)}
      </text>
    </g>
  );
}

function Heater({ x, on }: { x: number; on: boolean | null }) {
  return (
    <g class={`heater ${on === true ? "is-on" : ""} ${on === null ? "is-unknown" : ""}`}>
      <path class="lead" d={`M${x} 100 V34`} />
      <rect x={x - 5} y="100" width="10" height="72" rx="5" />
      {on === true && (
        <path class="warmth" d={`M${x - 11} 112 q-4 6 0 12 t0 12 t0 12 M${x + 11} 112 q4 6 0 12 t0 12 t0 12`} />
      )}
    </g>
  );
}

function LastChamber({ parts, heights }: { parts: ShownParts; heights: Heights }) {
  const { solidTop, bandTop, estimate } = drawnLevel(parts.level, heights);
  const { left, right } = CHAMBER;
  const width = right - left;
  return (
    <g>
      <g clip-path="url(#chamber-inside)">
        {solidTop !== null && (
          <rect class="water" x={left} y={solidTop} width={width} height={GLASS.bottom - solidTop} />
        )}
        {bandTop !== null && (
          <rect
            class="interval"
            x={left}
            y={bandTop}
            width={width}
            height={(solidTop ?? GLASS.bottom) - bandTop}
            fill="url(#hatch)"
          />
        )}
        {estimate !== null && <path class="estimate" d={`M${left} ${estimate} H${right}`} />}
      </g>
      {solidTop === null && bandTop === null && (
        <text class="label abnormal-text" x={(left + right) / 2 - 10} y="190" text-anchor="middle">
          level ?
        </text>
      )}
      <path class="mark-line" d={`M${right - 8} ${heights.mark} H${right + 6}`} />
      <ReturnPump parts={parts} />
      <Float
        y={heights.high}
        word={parts.highFloat}
        isUp={parts.highFloat === "wet"}
        isAbnormal={parts.highFloat === "wet"}
      />
      <Float y={heights.mark} word={parts.workingFloat} isUp={parts.workingFloat === "full"} isAbnormal={false} />
      <Float
        y={heights.low}
        word={parts.lowFloat}
        isUp={parts.lowFloat === "covered"}
        isAbnormal={parts.lowFloat === "dry"}
      />
    </g>
  );
}

function ReturnPump({ parts }: { parts: ShownParts }) {
  const words = { running: "", stopped: "stopped", unknown: "?", "not-fitted": "" }[parts.returnPump];
  return (
    <g>
      <path class="pipe" d="M308 184 V44 Q308 40 304 40 H176 Q172 40 172 44 V58" />
      <path class="pipe-arrow" d="M168 52 L172 60 L176 52" />
      <circle class="pump" cx="305" cy="192" r="9" />
      <path class="pump-blade" d="M300 197 L305 185 L310 197 Z" />
      {words !== "" && (
        <text class="label abnormal-text" x="292" y="200" text-anchor="end">
          {words}
        </text>
      )}
    </g>
  );
}

/** Where the floats hang in the last chamber. */
const STEM = 256;

interface FloatProps {
  y: number;
  word: string;
  isUp: boolean;
  isAbnormal: boolean;
}

/** Lies level when lifted, hangs when not; a broken outline and a question mark when nobody knows. */
function Float({ y, word, isUp, isAbnormal }: FloatProps) {
  if (word === "not-fitted") return null;
  const isUnknown = word === "unknown";
  const x = STEM;
  return (
    <g class={`float ${isUp ? "is-up" : ""} ${isUnknown ? "is-unknown" : ""} ${isAbnormal ? "is-abnormal" : ""}`}>
      <g transform={`rotate(${isUnknown ? 22 : isUp ? 0 : 48} ${x} ${y})`}>
        <rect x={x} y={y - 4} width="18" height="8" rx="4" />
      </g>
      <text class="label label-strong" x={x + 22} y={y + 4}>
        {isUnknown ? "?" : word === "covered" ? "wet" : word}
        {isAbnormal && "!"}
      </text>
    </g>
  );
}

/** The tube ends in air: a tube in the water would turn into a siphon. Water moves in it only when it is commanded. */
function TopOff({ parts, heights }: { parts: ShownParts; heights: Heights }) {
  const { solidTop, bandTop, estimate } = drawnLevel(parts.level, heights);
  const surface = estimate ?? solidTop ?? bandTop ?? GLASS.bottom - 8;
  return (
    <g>
      <path class="tube" d={`M330 ${RESERVOIR.bottom - 8} V22 Q330 14 322 14 H290 Q284 14 284 20 V30`} />
      {parts.isPumpOn === true && (
        <g class="pouring">
          <path class="flow" d={`M330 ${RESERVOIR.bottom - 8} V22 Q330 14 322 14 H290 Q284 14 284 20 V30`} />
          <path class="flow" d={`M284 31 V${surface}`} />
        </g>
      )}
    </g>
  );
}

function Reservoir({ parts, fullL }: { parts: ShownParts; fullL: number }) {
  const { left, right, top, bottom } = RESERVOIR;
  const share = parts.reservoirL === null || fullL <= 0 ? null : Math.min(1, Math.max(0, parts.reservoirL / fullL));
  const surface = share === null ? null : bottom - share * (bottom - top - 6);
  const isEmpty = parts.reservoirFloat === "empty";
  return (
    <g>
      {surface === null ? (
        <rect class="interval" x={left} y={top + 6} width={right - left} height={bottom - top - 6} fill="url(#hatch)" />
      ) : (
        <rect class="fresh-water" x={left} y={surface} width={right - left} height={bottom - surface} />
      )}
      <path class="vessel" d={`M${left} ${top} V${bottom} H${right} V${top}`} />
      <path class="tube" d={`M322 ${bottom - 8} H330`} />
      <circle class={`pump ${parts.isPumpOn === true ? "is-on" : ""}`} cx="315" cy={bottom - 9} r="7" />
      <text class="label" x={left + 6} y={top + 17}>
        reservoir
      </text>
      <text class={`label label-strong ${isEmpty ? "abnormal-text" : ""}`} x={left + 6} y={top + 34}>
        {isEmpty ? "empty!" : parts.reservoirL === null ? "? L" : `${valueWords(Math.max(0, parts.reservoirL), 1)} L`}
      </text>
    </g>
  );
}

/** Each device behind two switches in series: its relay and its guard. */
function Switches({ parts }: { parts: ShownParts }) {
  const rows = [
    { name: "heater", relay: parts.isHeaterOn, guard: parts.isHeatGuardClosed },
    ...(parts.hasSecondHeater
      ? [{ name: "heater 2", relay: parts.isSecondHeaterOn, guard: parts.isSecondHeatGuardClosed }]
      : []),
    { name: "top-off", relay: parts.isPumpOn, guard: parts.isWaterGuardClosed },
  ];
  const { top, step, heads } =
    rows.length > 2 ? { top: 245, step: 19, heads: 229 } : { top: 254, step: 26, heads: 233 };
  return (
    <g>
      <text class="label" x="110" y={heads} text-anchor="middle">
        relay
      </text>
      <text class="label" x="168" y={heads} text-anchor="middle">
        guard
      </text>
      {rows.map((row, place) => (
        <SwitchRow key={row.name} y={top + place * step} {...row} />
      ))}
    </g>
  );
}

interface SwitchRowProps {
  y: number;
  name: string;
  relay: boolean | null;
  guard: boolean | null;
}

function SwitchRow({ y, name, relay, guard }: SwitchRowProps) {
  return (
    <g>
      <text class="label label-strong" x="14" y={y + 4}>
        {name}
      </text>
      <path class="lead" d={`M70 ${y} H98 M122 ${y} H156 M180 ${y} H196`} />
      <Contact x={98} y={y} isClosed={relay} />
      <Contact x={156} y={y} isClosed={guard} />
      <circle class="terminal" cx="199" cy={y} r="3" />
    </g>
  );
}

function Contact({ x, y, isClosed }: { x: number; y: number; isClosed: boolean | null }) {
  return (
    <g class={isClosed === null ? "contact is-unknown" : "contact"}>
      <circle class="terminal" cx={x} cy={y} r="2.5" />
      <circle class="terminal" cx={x + 24} cy={y} r="2.5" />
      {isClosed === null ? (
        <text class="label abnormal-text" x={x + 12} y={y + 4} text-anchor="middle">
          ?
        </text>
      ) : (
        <path class="blade" d={isClosed ? `M${x} ${y} H${x + 24}` : `M${x} ${y} L${x + 21} ${y - 11}`} />
      )}
    </g>
  );
}

function Floor({ parts }: { parts: ShownParts }) {
  const { floor } = parts;
  return (
    <g>
      <path class="shelf" d="M4 212 H324" />
      <path class="ground" d="M0 304 H340" />
      {floor !== "not-fitted" && (
        <g class={`floor ${floor === "wet" ? "is-wet" : ""} ${floor === "unknown" ? "is-unknown" : ""}`}>
          {floor === "wet" && <path class="puddle" d="M8 304 Q30 295 70 297 Q130 292 196 299 Q214 300 222 304 Z" />}
          <rect x="16" y="299" width="22" height="5" />
          <text class={`label ${floor === "dry" ? "" : "abnormal-text"}`} x="16" y="318">
            {floor === "dry" ? "floor dry" : floor === "wet" ? "water on the floor!" : "floor ?"}
          </text>
        </g>
      )}
    </g>
  );
}
