import { connectToBroker } from "../../controller/publish/external-client.ts";
import { createIntake, createPublisher, lastWillOf } from "../../controller/publish/index.ts";
import { wellRecord } from "../record/scan-record.ts";
import { CONTEXT, FLOOR_WET } from "./context.ts";

/** A controller's publishing half on a broker that is not ours; told `goodbye` on its input it leaves in good order. */
const client = connectToBroker(process.argv[2] ?? "", { will: lastWillOf("reef-box"), reconnectMs: 100 });
const publisher = createPublisher(client, { tank: "reef-box", name: "Reef box", alarms: [FLOOR_WET] });
const intake = createIntake(client, "reef-box", (kind, payload) => {
  intake.answer([{ id: JSON.parse(payload).id, accepted: true, why: `Took ${kind}.`, stored: true }]);
});
const scans = setInterval(() => publisher.update(wellRecord(), CONTEXT, performance.now()), 50);
process.stdin.once("data", async () => {
  clearInterval(scans);
  publisher.goodbye();
  await client.close();
  process.exit(0);
});
