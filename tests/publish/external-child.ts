import { connectToBroker } from "../../controller/publish/external-client.ts";
import { createIntake, createPublisher, lastWillOf } from "../../controller/publish/index.ts";
import { wellRecord } from "../record/scan-record.ts";
import { CONTEXT, FLOOR_WET } from "./context.ts";

/** A controller's publishing half on a broker that is not ours; told `goodbye` on its input it leaves in good order. */
const client = connectToBroker(process.argv[2] ?? "", { will: lastWillOf("reef-box"), reconnectMs: 100 });
const publisher = createPublisher(client, { tank: "reef-box", name: "Reef box", alarms: [FLOOR_WET] });
const intake = createIntake(client, "reef-box");
const scans = setInterval(() => {
  publisher.update(wellRecord(), CONTEXT, performance.now());
  for (const { id, kind } of intake.take()) intake.answer([{ id, accepted: true, why: `Took ${kind}.` }]);
}, 50);
process.stdin.once("data", async () => {
  clearInterval(scans);
  publisher.goodbye();
  await client.close();
  process.exit(0);
});
