import { measureFlood, measureFootprint, measureKills, measureSpell, type Spell } from "./front.ts";
import type { Row } from "./parts.ts";
import { spreadOf } from "./spread.ts";

const TEN_MINUTES_S = 600;
const KILLS = 300;
const SEED = 14;
const ms = (value: number): string => `${value.toFixed(1)} ms`;

/** `share`: of the spans that the figures are defined for. */
export async function measureFront(share: number, row: Row): Promise<void> {
  const seconds = Math.max(20, TEN_MINUTES_S * share);
  for (const [name, attacked] of [
    ["calm", false],
    ["attacked", true],
  ] as const) {
    tellSpell(name, await measureSpell(seconds, attacked), row);
  }
  const kills = await measureKills(Math.max(4, Math.round(KILLS * share)), SEED);
  row(
    `confirmed requests lost in ${kills.kills} kills of either process, seed ${SEED}`,
    `${kills.lost.length} of ${kills.confirmed}`,
    "0",
  );
  row("killed front to page and broker back, worst", ms(spreadOf(kills.backMs).worst), "≤ 5000 ms");
  row(
    "written to disk under four requests a second, extrapolated",
    `${(await measureFlood(seconds)).toFixed(0)} MB a day`,
    "≤ 60 MB a day",
  );
  const { toFirstScanMs, afterS, scanMb, frontMb } = await measureFootprint(seconds);
  row("start to first healthy scan", ms(toFirstScanMs), "≤ 1500 ms");
  row(
    `resident after ${afterS.toFixed(0)} s: scan's process, front, both`,
    `${scanMb.toFixed(0)}, ${frontMb.toFixed(0)}, ${(scanMb + frontMb).toFixed(0)} MB`,
    "both ≤ 180 MB",
  );
}

function tellSpell(name: string, spell: Spell, row: Row): void {
  const { seconds, scans, missed, latenessP99Ms, latenessWorstMs, edgeToOpen, asked, granted, backMs, attacks } = spell;
  const head = `${name}, ${seconds.toFixed(0)} s${attacks > 0 ? `, ${attacks} attacks` : ""}`;
  row(`${head}: scans missed`, `${missed} of ${scans + missed}`, "0");
  row(`${head}: lateness p99`, ms(latenessP99Ms), "≤ 10 ms");
  row(`${head}: lateness worst`, ms(latenessWorstMs), "≤ 100 ms");
  row(
    `${head}: float edge to load broken, p99 and worst`,
    `${ms(edgeToOpen.p99)}, ${ms(edgeToOpen.worst)}`,
    "p99 ≤ 270 ms",
  );
  row(`${head}: asked at the tank, granted`, `${granted} of ${asked}`, "all");
  if (backMs.length === 0) return;
  row(`${head}: front back, ${backMs.length} times, worst`, ms(spreadOf(backMs).worst), "≤ 5000 ms");
}
