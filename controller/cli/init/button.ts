import { BOARD, pinQuestion } from "./board.ts";
import type { Dialogue } from "./dialogue.ts";
import type { Draft } from "./draft.ts";

/** The push button at the tank: for wet hands, and for whoever stands there without a screen. */
export async function askButton({ ask }: Dialogue, draft: Draft): Promise<void> {
  if (draft.boards[BOARD] === undefined) return;
  const pin = await ask(
    pinQuestion(
      {
        id: "inputs.tank-button.pin",
        asks: "Pin of a push button at the tank, or none",
        usual: "none",
        why:
          "From the pin to ground. A short press begins a hold with the heater off, or ends it; a long one acknowledges " +
          "the alarms and clears what is locked, as far as its cause is gone.",
      },
      draft,
      true,
    ),
  );
  if (pin !== null) draft.inputs["tank-button"] = { board: BOARD, pin };
}
