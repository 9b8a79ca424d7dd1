import type { ComponentChildren } from "preact";
import { BOARD_STATES } from "../../shared/contract/image.ts";
import type { Box } from "../incoming/box.ts";
import { readNumber, readOneOf, readSentence } from "../incoming/payload.ts";
import { valueWords } from "../pieces/words.ts";
import { Ledger } from "./ledger.tsx";
import { PouredLately } from "./poured-lately.tsx";

const TOP_OFF_WORDS = {
  resting: "resting",
  confirming: "making sure",
  pouring: "pouring",
  settling: "letting it settle",
  held: "held",
  locked: "locked",
  proving: "proving",
} as const;

const HEAT_WORDS = {
  off: "off",
  heating: "heating",
  cautious: "heating carefully",
  held: "held",
  waiting: "waiting",
  "cut-out": "cut out",
  locked: "locked",
} as const;

/** What the controller is doing, and why. */
export function Workings({ box }: { box: Box }) {
  return (
    <section class="workings" aria-labelledby="workings-title">
      <h2 id="workings-title">What the controller is doing, and why</h2>
      <Machine box={box} node="top-off" name="Top-off" states={TOP_OFF_WORDS}>
        <PouredLately box={box} />
        <Figure box={box} name="left in today's budget" node="top-off" property="budget-left" unit="L" decimals={2} />
        <Figure box={box} name="due" node="top-off" property="due" unit="L" decimals={2} />
        <Figure
          box={box}
          name="beyond credible evaporation"
          node="top-off"
          property="excess"
          unit="L"
          decimals={2}
          limit="excess-limit"
        />
        <Figure box={box} name="left in the reservoir" node="top-off" property="reservoir" unit="L" decimals={1} />
        <Figure box={box} name="reservoir lasts" node="top-off" property="reservoir-days" unit="days" decimals={1} />
        <Figure
          box={box}
          name="dissolved in the source water"
          node="source-water"
          property="value"
          unit="mg/L"
          decimals={1}
        />
        <Figure
          box={box}
          name="poured since the cartridge was changed"
          node="source-water"
          property="litres-since-change"
          unit="L"
          decimals={1}
        />
        <Figure
          box={box}
          name="cartridge in use for"
          node="source-water"
          property="days-since-change"
          unit="days"
          decimals={0}
        />
      </Machine>
      <Machine box={box} node="heat" name="Heat" states={HEAT_WORDS}>
        <Figure box={box} name="setpoint" node="heat" property="setpoint" unit="°C" decimals={1} />
        <Figure box={box} name="on during the last day" node="heat" property="duty" unit="%" decimals={0} />
        <Figure box={box} name="room" node="room" property="value" unit="°C" decimals={1} />
      </Machine>
      {box.text("second-heat", "state") !== "" && (
        <Machine box={box} node="second-heat" name="Second heater" states={HEAT_WORDS}>
          <Figure box={box} name="on during the last day" node="second-heat" property="duty" unit="%" decimals={0} />
        </Machine>
      )}
      <Ledger box={box} />
      <ScanHealth box={box} />
    </section>
  );
}

interface MachineProps {
  box: Box;
  node: "top-off" | "heat" | "second-heat";
  name: string;
  states: Readonly<Record<string, string>>;
  children: ComponentChildren;
}

function Machine({ box, node, name, states, children }: MachineProps) {
  const state = readOneOf(box.text(node, "state"), Object.keys(states));
  const why = readSentence(box.text(node, "why"));
  // The reason is often one of the blockers too; it is said once.
  const blockers = readSentence(box.text(node, "blockers")).replace(why, "").trim();
  return (
    <article class="machine" data-machine={node} data-old={!box.fresh.value}>
      <h3>
        {name}: <span class="state">{state === null ? "unknown" : states[state]}</span>
      </h3>
      <p class="why">{why || "No reason was given."}</p>
      {blockers !== "" && <p class="why">In the way of a pour: {blockers}</p>}
      <dl class="figures">{children}</dl>
    </article>
  );
}

interface FigureProps {
  box: Box;
  name: string;
  node: string;
  property: string;
  unit: string;
  decimals: number;
  limit?: string;
}

function Figure({ box, name, node, property, unit, decimals, limit }: FigureProps) {
  const value = readNumber(box.text(node, property));
  const most = limit === undefined ? null : readNumber(box.text(node, limit));
  return (
    <div>
      <dt>{name}</dt>
      <dd>
        {value === null ? "not known" : `${valueWords(value, decimals)} ${unit}`}
        {value !== null && most !== null && ` of ${valueWords(most, decimals)}`}
      </dd>
    </div>
  );
}

function ScanHealth({ box }: { box: Box }) {
  const figure = (property: string): string => {
    const value = readNumber(box.text("scan", property));
    return value === null ? "not known" : value.toLocaleString("en-GB");
  };
  const board = readOneOf(box.text("scan", "board"), BOARD_STATES);
  const disk = readOneOf(box.text("scan", "disk"), ["working", "failed"]);
  const stopped = readSentence(box.text("scan", "stopped"));
  const connections = readSentence(box.text("parts", "connections"));
  return (
    <div class="scan">
      {stopped !== "" && (
        <p class="scan-stopped">
          <strong>The scan has stopped, and every output is off:</strong> {stopped}
        </p>
      )}
      <p class="aside">
        Scans {figure("count")}; late {figure("late")}, missed {figure("missed")}, overlong {figure("overlong")},
        longest of the last minute {figure("worst-ms")} ms. Board{" "}
        {board === null ? "not known" : board === "ready" ? "ready" : <strong>{board}</strong>}, disk{" "}
        {disk === null ? "not known" : disk === "working" ? "working" : <strong>failed</strong>}.
      </p>
      {connections !== "" && <p class="aside">{connections}</p>}
    </div>
  );
}

export function Cautions({ box }: { box: Box }) {
  return (
    <footer class="foot">
      <h2>Before you touch anything</h2>
      <ul>
        {box.tank.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </footer>
  );
}
