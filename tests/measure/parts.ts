import { measureFloatToRelay } from "./float-to-relay.ts";
import { measureHostileStreams, measureHostKills } from "./guard.ts";
import { measureMessageFlood } from "./message-flood.ts";
import { measureReplug } from "./replug.ts";

/** Puts one figure into the table, with what it is to reach. */
export type Row = (figure: string, measured: string, reach: string) => void;

const ms = (value: number): string => `${value.toFixed(1)} ms`;

/** Everything between the water and the scan: on the emulated chip with real firmware, behind a real tty. */
const FIGURES: Readonly<Record<string, (full: boolean, row: Row) => Promise<void>>> = {
  async "hostile streams"(full, row) {
    const { streams, disobeyed, safeLevelsChanged, withOutputOn } = measureHostileStreams(full ? 10_000 : 1_000);
    row(`guard firmware, ${streams} hostile streams, not as commanded`, String(disobeyed.length), "0");
    row("guard firmware, safe levels changed", String(safeLevelsChanged), "0");
    row("streams that switched something on", String(withOutputOn), "");
  },
  async "host kills"(full, row) {
    const { kills, killToSafe, killToSafeByWall, toReachMs } = await measureHostKills(full ? 100 : 20);
    row(`kill -9 of the host to every output safe, ${kills} kills, median`, ms(killToSafe.median), "");
    row("kill -9 to every output safe, worst, by the chip's clock", ms(killToSafe.worst), `≤ ${toReachMs} ms`);
    row("kill -9 to every output safe, worst, by the wall's clock", ms(killToSafeByWall.worst), "");
  },
  async "message flood"(full, row) {
    const flood = await measureMessageFlood(full ? 2_000_000 : 200_000);
    const grownMb = flood.heapEndMb - flood.heapWarmMb;
    row(`heap grown over ${flood.messages} Firmata messages`, `${grownMb.toFixed(2)} MB`, "flat");
    row("of these heard", `${(100 * flood.heardShare).toFixed(1)} %`, "");
    row("Firmata messages a second", (flood.messages / flood.seconds).toFixed(0), "");
  },
  async replug(full, row) {
    const { rounds, plugToReady, plugToPour, toReachMs, tooEarly } = await measureReplug(full ? 20 : 5);
    row(`plug put in to inputs read, ${rounds} rounds, worst`, ms(plugToReady.worst), "");
    row("plug put in to pouring again, worst", ms(plugToPour.worst), `≤ ${toReachMs} ms`);
    row("pours before the steady time", String(tooEarly), "0");
  },
  async "float to relay"(full, row) {
    const { flips, edgeToOpen, edgeToPin, toReachMs } = await measureFloatToRelay(full ? 1000 : 100);
    row(`float edge to load broken, ${flips} flips, median`, ms(edgeToOpen.median), "");
    row("float edge to load broken, p99", ms(edgeToOpen.p99), `≤ ${toReachMs} ms`);
    row("float edge to relay pin off, p99", ms(edgeToPin.p99), `≤ ${toReachMs} ms`);
    row("float edge to relay pin off, worst", ms(edgeToPin.worst), "");
  },
};

/** `only`: the names of those to be measured; empty = all. A tool that is missing leaves a row that says so. */
export async function measureParts(full: boolean, row: Row, only: readonly string[] = []): Promise<void> {
  for (const [name, measure] of Object.entries(FIGURES)) {
    if (only.length > 0 && !only.includes(name)) continue;
    try {
      await measure(full, row);
    } catch (error) {
      row(name, `not measured: ${(error as Error).message.split("\n")[0]}`, "");
    }
  }
}
