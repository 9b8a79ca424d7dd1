import { type OutputPart, PART_WORDS } from "../../../shared/contract/parts.ts";
import { BOARD, pinQuestion } from "./board.ts";
import type { Dialogue } from "./dialogue.ts";
import type { Draft } from "./draft.ts";
import { yesOrNo } from "./questions.ts";

/** What tells at once that a contact did not open; without it a weld shows only by water or warmth nobody asked for. */
export async function askSensed({ ask }: Dialogue, draft: Draft): Promise<void> {
  const outputs = Object.keys(draft.outputs) as OutputPart[];
  if (outputs.length === 0) return;
  const wanted = await ask(
    yesOrNo({
      id: "sensed",
      asks: "Does anything sense power behind the contacts of pump and heater",
      usual: "no",
      why:
        "A voltage or current sensor behind a contact tells at once when it did not open; without one a weld shows only " +
        "by water or warmth that nobody asked for. Behind mains a licensed electrician wires it.",
    }),
  );
  if (!wanted) return;
  for (const part of outputs) {
    const pin = await ask(
      pinQuestion(
        {
          id: `outputs.${part}.sensed.pin`,
          asks: `Pin of the sensor behind the ${PART_WORDS[part]}, or none`,
          usual: "none",
          why:
            "Its own contact, which carries no voltage, from the pin to ground, and open while there is power. A broken " +
            "wire then reads as power that should not be there, and locks.",
        },
        draft,
        true,
      ),
    );
    if (pin !== null)
      draft.outputs[part] = { ...draft.outputs[part], sensed: { board: BOARD, pin, closedWhen: "off" } };
  }
}
