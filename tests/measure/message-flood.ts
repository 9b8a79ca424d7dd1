import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { openFirmataBoard } from "../../controller/boards/firmata.ts";
import { startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { pause, until } from "../system/rig/until.ts";

export interface MessageFlood {
  readonly messages: number;
  readonly seconds: number;
  /** Heap in use after a collection, once warm and at the end. */
  readonly heapWarmMb: number;
  readonly heapEndMb: number;
  /** Share of the messages with contacts that were heard: the board's own messages cut into some of ours. */
  readonly heardShare: number;
}

/** Recorded from the standard firmware: contacts of two ports, a voltage, a pin's state, its version's neighbours. */
const RECORDED = [
  [0x90, 0x7c, 0x01],
  [0x91, 0x3f, 0x00],
  [0xe2, 0x00, 0x04],
  [0x90, 0x78, 0x01],
  [0x91, 0x3e, 0x00],
  [0xf0, 0x6e, 0x0c, 0x00, 0x01, 0xf7],
  [0xe2, 0x7f, 0x03],
  [0x90, 0x74, 0x01],
] as const;
const ROUNDS_PER_CHUNK = 250;
const WARM_SHARE = 0.25;
/** Messages of port 0 in what was recorded. */
const CONTACTS = 3;
const PATIENCE_MS = 3000;

/** A board that talks as fast as the line carries, for two million messages: what is heard must not be kept. */
export async function measureMessageFlood(messages: number): Promise<MessageFlood> {
  setFlagsFromString("--expose-gc");
  const collect = runInNewContext("gc") as () => void;
  const heapMb = () => {
    collect();
    return process.memoryUsage().heapUsed / 1e6;
  };
  const chip = await startEmulatedBoard();
  const nowMs = () => performance.now();
  const board = await openFirmataBoard(
    "io",
    { kind: "firmata", port: chip.path, baud: 57_600, firmware: "standard" },
    { contacts: [2, 3, 8], analogs: [16], outputs: [] },
    nowMs,
  );
  try {
    await until("the board is ready", () => board.isReady, 20_000);
    const chunk = Array.from({ length: ROUNDS_PER_CHUNK }, () => RECORDED.flat()).flat();
    const perChunk = ROUNDS_PER_CHUNK * RECORDED.length;
    const began = nowMs();
    let heapWarmMb = 0;
    const chunks = Math.ceil(messages / perChunk);
    for (let done = 0; done < chunks; done += 1) {
      const { sample } = board.contact(2);
      await chip.inject(chunk);
      // What is on its way must be heard before more is sent, or the memory of the pipe is what is measured. Where the
      // board's own answers cut into a message, the link is greeted anew and a part of the chunk is passed over.
      const heardEnough = () => board.isReady && board.contact(2).sample >= sample + CONTACTS * ROUNDS_PER_CHUNK - 10;
      for (let waited = 0; waited < PATIENCE_MS && !heardEnough(); waited += 5) await pause(5);
      if (done === Math.floor(chunks * WARM_SHARE)) heapWarmMb = heapMb();
    }
    const seconds = (nowMs() - began) / 1000;
    const heardShare = board.contact(2).sample / (chunks * ROUNDS_PER_CHUNK * CONTACTS);
    return { messages: chunks * perChunk, seconds, heapWarmMb, heapEndMb: heapMb(), heardShare };
  } finally {
    await board.close();
    await chip.stop();
  }
}
