import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { Box } from "../incoming/box.ts";
import { fetchHistory } from "../incoming/fetched.ts";
import { readNumber } from "../incoming/payload.ts";
import { timeWords, valueWords } from "../pieces/words.ts";

/** Litres of the last 24 h: what was poured in all now, less what had been poured in all then. */
export function PouredLately({ box }: { box: Box }) {
  const before = useSignal<{ litres: number; atMs: number } | null>(null);
  const nowMs = box.boxNowMs.value;
  // Asked again as the window moves on, and after every silence.
  const turn = nowMs === null ? null : Math.floor(nowMs / TURN_MS);
  const { value: returns } = box.returns;
  useEffect(() => {
    if (turn === null) return;
    let isWanted = true;
    const toMs = (turn + 1) * TURN_MS;
    fetchHistory(["top-off-poured"], toMs - DAY_MS, toMs, DAY_MS / TURN_MS).then((answer) => {
      const litres = answer?.channels["top-off-poured"]?.min ?? [];
      const first = litres.findIndex((value) => value !== null);
      if (isWanted) before.value = first < 0 ? null : { litres: litres[first]!, atMs: answer!.atMs[first]! };
    });
    return () => {
      isWanted = false;
    };
  }, [turn, returns]);

  const total = readNumber(box.text("top-off", "poured-total"));
  const known = before.value;
  const isWholeDay = known !== null && nowMs !== null && nowMs - known.atMs > DAY_MS - 2 * TURN_MS;
  return (
    <div>
      <dt>{known === null || isWholeDay ? "poured in 24 h" : `poured since ${timeWords(known.atMs, nowMs)}`}</dt>
      <dd>
        {known === null || total === null ? "not known" : `${valueWords(Math.max(0, total - known.litres), 2)} L`}
      </dd>
    </div>
  );
}

const DAY_MS = 86_400_000;
const TURN_MS = 1_800_000;
