export { type Broker, type BrokerOptions, openBroker } from "./broker.ts";
export type { ArrivedMessage, LastWill, MessageClient } from "./client.ts";
export { descriptionOf } from "./description.ts";
export { type ScanCounts, type TreeContext, treeOf } from "./homie.ts";
export { createPublisher, lastWillOf, type Publisher, type PublisherOptions } from "./publisher.ts";
export { createIntake, type Intake, type PublishedOutcome } from "./requests.ts";
