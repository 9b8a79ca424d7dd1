import { effect, type ReadonlySignal, type Signal, useComputed, useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import {
  columnsFromHistory,
  emptyColumns,
  since,
  summarise,
  type TrendColumns,
  type TrendSummary,
  withLive,
} from "../columns/columns.ts";
import type { Box } from "../incoming/box.ts";
import { fetchHistory } from "../incoming/fetched.ts";
import { isAged, readQuantity } from "../incoming/quantity.ts";
import { timeWords, valueWords } from "../pieces/words.ts";

const HOUR_MS = 3_600_000;
const RANGES = [
  { hours: 1, bucketMs: 30_000 },
  { hours: 6, bucketMs: 60_000 },
  { hours: 48, bucketMs: 180_000 },
] as const;
type Range = (typeof RANGES)[number];

const CHANNELS = ["temperature", "salinity"] as const;
type Channel = (typeof CHANNELS)[number];

/** Temperature and salinity over time, from the record at first and live from then on. */
export function Trend({ box }: { box: Box }) {
  const range = useSignal<Range>(RANGES[1]);
  const { targets } = box.tank;
  return (
    <section class="trend" aria-labelledby="trend-title" data-old={!box.fresh.value}>
      <h2 id="trend-title">{box.isRehearsal ? "Trend (simulated water)" : "Trend"}</h2>
      <fieldset class="choices">
        <legend>Show the last</legend>
        {RANGES.map((choice) => (
          <label key={choice.hours}>
            <input
              type="radio"
              name="trend-range"
              value={choice.hours}
              checked={range.value === choice}
              onChange={() => (range.value = choice)}
            />
            <span>{choice.hours === 1 ? "1 hour" : `${choice.hours} hours`}</span>
          </label>
        ))}
      </fieldset>
      <Charts box={box} range={range} />
      <p class="aside">
        Shaded: the band that is aimed at, from {valueWords(targets.temperatureBandC[0], 1)} to{" "}
        {valueWords(targets.temperatureBandC[1], 1)} °C and from {valueWords(targets.salinityBand[0], 1)} to{" "}
        {valueWords(targets.salinityBand[1], 1)}. A break in a line means that nothing trustworthy was measured.
      </p>
    </section>
  );
}

function Charts({ box, range }: { box: Box; range: ReadonlySignal<Range> }) {
  const columns = useSignal<Record<Channel, TrendColumns>>(emptyTrend(range.peek(), box));
  const state = useSignal<"loading" | "loaded" | "missing">("loading");
  useHistory(box, range, columns, state);
  useLive(box, columns);
  const { temperatureBandC, salinityBand } = box.tank.targets;
  return (
    <>
      <Chart
        box={box}
        range={range}
        all={columns}
        channel="temperature"
        name="Temperature, °C"
        band={temperatureBandC}
      />
      <Chart box={box} range={range} all={columns} channel="salinity" name="Salinity" band={salinityBand} />
      <p class="aside" role="status">
        {state.value === "missing"
          ? "The record could not be read; the lines begin with what comes in from now on."
          : ""}
      </p>
      <SummaryTable box={box} columns={columns} range={range} />
    </>
  );
}

/** A steady value is told every five seconds or so: in a fast rehearsal that is minutes of simulated time. */
const gapMsOf = (range: Range, box: Box): number => Math.max(2.5 * range.bucketMs, 15_000 * box.tank.speed);

const emptyTrend = (range: Range, box: Box): Record<Channel, TrendColumns> => ({
  temperature: emptyColumns(range.bucketMs, gapMsOf(range, box)),
  salinity: emptyColumns(range.bucketMs, gapMsOf(range, box)),
});

function useHistory(
  box: Box,
  range: ReadonlySignal<Range>,
  columns: Signal<Record<Channel, TrendColumns>>,
  state: Signal<"loading" | "loaded" | "missing">,
): void {
  const isClockKnown = useComputed(() => box.boxNowMs.value !== null);
  useEffect(() => {
    let turn = 0;
    // Again for every range, and after every silence, since what was missed is in the record.
    return effect(() => {
      const chosen = range.value;
      box.returns.value;
      if (!isClockKnown.value) return;
      const mine = ++turn;
      const toMs = (Math.floor(box.boxNowMs.peek()! / chosen.bucketMs) + 1) * chosen.bucketMs;
      const buckets = (chosen.hours * HOUR_MS) / chosen.bucketMs;
      fetchHistory(CHANNELS, toMs - chosen.hours * HOUR_MS, toMs, buckets).then((answer) => {
        if (mine !== turn) return;
        state.value = answer === null ? "missing" : "loaded";
        columns.value =
          answer === null
            ? emptyTrend(chosen, box)
            : {
                temperature: columnsFromHistory(answer, "temperature", chosen.bucketMs, gapMsOf(chosen, box)),
                salinity: columnsFromHistory(answer, "salinity", chosen.bucketMs, gapMsOf(chosen, box)),
              };
      });
    });
  }, []);
}

function useLive(box: Box, columns: Signal<Record<Channel, TrendColumns>>): void {
  useEffect(() => {
    const stops = CHANNELS.map((channel) =>
      effect(() => {
        const shown = readQuantity(box, channel);
        // Retained is not fresh: the record has what was before the page came.
        if (!box.fresh.value) return;
        const atMs = box.boxNowMs.peek();
        if (atMs === null) return;
        const value = isAged(shown, box) ? null : shown.value;
        const before = columns.peek();
        const spanMs = 48 * HOUR_MS;
        const grown = since(withLive(before[channel], atMs, value), atMs - spanMs);
        if (grown !== before[channel]) columns.value = { ...before, [channel]: grown };
      }),
    );
    return () => {
      for (const stop of stops) stop();
    };
  }, []);
}

interface ChartProps {
  box: Box;
  range: ReadonlySignal<Range>;
  all: ReadonlySignal<Record<Channel, TrendColumns>>;
  channel: Channel;
  name: string;
  band: readonly [number, number];
}

function Chart({ box, range, all, channel, name, band }: ChartProps) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const element = place.current;
    if (element === null) return;
    let stop = (): void => undefined;
    let isWanted = true;
    import("./chart.ts").then(({ drawChart }) => {
      if (!isWanted) return;
      const chart = drawChart(element, band);
      const stopFeeding = effect(() => {
        const columns = all.value[channel];
        const toMs = box.boxNowMs.value ?? (columns.atS.at(-1) ?? 0) * 1000;
        chart.show(columns, toMs - range.value.hours * HOUR_MS, toMs);
      });
      stop = () => {
        stopFeeding();
        chart.close();
      };
    });
    return () => {
      isWanted = false;
      stop();
    };
  }, []);
  return (
    <figure class="chart">
      <figcaption>{name}</figcaption>
      <div class="chart-place" ref={place} aria-hidden="true" data-channel={channel} />
    </figure>
  );
}

/** The charts in numbers. */
function SummaryTable({
  box,
  columns,
  range,
}: {
  box: Box;
  columns: ReadonlySignal<Record<Channel, TrendColumns>>;
  range: ReadonlySignal<Range>;
}) {
  const newestMs = box.boxNowMs.value;
  const fromMs = (newestMs ?? 0) - range.value.hours * HOUR_MS;
  const summaries = CHANNELS.map((channel) => summarise(since(columns.value[channel], fromMs)));
  const row = (name: string, words: (summary: TrendSummary) => string) => (
    <tr>
      <th scope="row">{name}</th>
      {CHANNELS.map((channel, n) => {
        const summary = summaries[n] ?? null;
        return <td key={channel}>{summary === null ? "nothing measured" : words(summary)}</td>;
      })}
    </tr>
  );
  return (
    <table class="summary">
      <caption class="for-readers">The trend in numbers</caption>
      <thead>
        <tr>
          <td />
          <th scope="col">temperature, °C</th>
          <th scope="col">salinity</th>
        </tr>
      </thead>
      <tbody>
        {row("latest", ({ latest, latestAtMs }) => `${valueWords(latest, 1)} at ${timeWords(latestAtMs, newestMs)}`)}
        {row("lowest", ({ lowest }) => valueWords(lowest, 1))}
        {row("highest", ({ highest }) => valueWords(highest, 1))}
        {row("breaks", ({ gaps }) => (gaps === 0 ? "none" : String(gaps)))}
      </tbody>
    </table>
  );
}
