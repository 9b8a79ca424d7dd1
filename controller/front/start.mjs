// Where the front's process begins: a child of the scan's, started by `supervisor.ts` and by nobody else.
import { useStripped } from "../cli/stripped.mjs";

useStripped();
const { serve } = await import("./front.ts");
serve();
