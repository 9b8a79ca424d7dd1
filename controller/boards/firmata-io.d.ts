/** The part of `firmata-io` that is used here; the package has no types of its own. */
declare module "firmata-io" {
  import { EventEmitter } from "node:events";

  interface FirmataPin {
    readonly supportedModes: readonly number[];
    readonly analogChannel?: number;
    mode?: number;
    /** Answer to a pin-state query: the level of an output, 1 for an input whose pull-up is on. */
    state?: number;
    value: number;
  }

  class Firmata extends EventEmitter {
    constructor(transport: EventEmitter, options: { reportVersionTimeout: number });
    readonly MODES: { readonly INPUT: number; readonly OUTPUT: number; readonly ANALOG: number; readonly PWM: number };
    readonly isReady: boolean;
    readonly pins: FirmataPin[];
    readonly analogPins: number[];
    readonly ports: number[];
    readonly buffer: number[];
    readonly RESOLUTION: { readonly ADC: number | null };
    readonly firmware: {
      readonly name?: string;
      readonly version?: { readonly major: number; readonly minor: number };
    };
    readonly reportVersionTimeoutId: NodeJS.Timeout;
    pinMode(pin: number, mode: number): void;
    writeDigitalPort(port: number): void;
  }

  const bindTransport: { readonly Firmata: typeof Firmata };
  export default bindTransport;
  export type { Firmata, FirmataPin };
}
