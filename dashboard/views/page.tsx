import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { type Box, openBox } from "../incoming/box.ts";
import { loadAhead } from "../incoming/connect.ts";
import { fetchTank } from "../incoming/fetched.ts";
import { Alarms } from "./alarms.tsx";
import { Entries } from "./entries.tsx";
import { Hands } from "./hands.tsx";
import { Head, RehearsalMark, SilenceMark } from "./head.tsx";
import { ProvingPlace } from "./proving-place.tsx";
import { Tank } from "./tank.tsx";
import { Trend } from "./trend.tsx";
import { Water } from "./water.tsx";
import { Cautions, Workings } from "./workings.tsx";

/** The whole page: asks who is there, then shows it. */
export function Page() {
  const box = useSignal<Box | null>(null);
  const hasFailed = useSignal(false);
  useEffect(() => {
    let isWanted = true;
    loadAhead();
    const look = async (): Promise<void> => {
      const tank = await fetchTank();
      if (!isWanted) return;
      if (tank !== null) {
        box.value = openBox(tank);
        return;
      }
      hasFailed.value = true;
      window.setTimeout(look, RETRY_MS);
    };
    look();
    return () => {
      isWanted = false;
    };
  }, []);
  if (box.value !== null) return <TankPage box={box.value} />;
  return (
    <main class="waiting">
      <h1>Evenbrine</h1>
      <p role="status">
        {hasFailed.value
          ? "The controller does not answer. Trying again; meanwhile look at the tank itself."
          : "Asking the controller…"}
      </p>
    </main>
  );
}

const RETRY_MS = 3_000;

function TankPage({ box }: { box: Box }) {
  return (
    <div class={box.isRehearsal ? "page is-rehearsal" : "page"} data-fresh={box.fresh.value}>
      <RehearsalMark box={box} />
      <Head box={box} />
      <main class="sheet">
        <SilenceMark box={box} />
        {/* Before the first word there is nothing to show but unknowns, and nobody to ask anything. */}
        {box.lastWordMs.value !== null && <Sheet box={box} />}
      </main>
      <Cautions box={box} />
    </div>
  );
}

function Sheet({ box }: { box: Box }) {
  return (
    <>
      <Alarms box={box} />
      <Tank box={box} />
      <div class="beside">
        <Water box={box} />
        <Hands box={box} />
      </div>
      <Trend box={box} />
      <Workings box={box} />
      <Entries box={box} />
      <ProvingPlace box={box} />
    </>
  );
}
