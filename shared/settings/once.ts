import type { Settings } from "./schema.ts";

/** What is made of settings is made once for each settings object, for it is asked for in every scan and they never change. */
export function oncePerSettings<Made>(make: (settings: Settings) => Made): (settings: Settings) => Made {
  const made = new WeakMap<Settings, { readonly it: Made }>();
  return (settings) => {
    const known = made.get(settings);
    if (known !== undefined) return known.it;
    const it = make(settings);
    made.set(settings, { it });
    return it;
  };
}
