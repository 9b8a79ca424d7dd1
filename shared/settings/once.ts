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

/** What is costly to make and never changes: made when it is first asked for. */
export function once<Made>(make: () => Made): () => Made {
  let made: { readonly it: Made } | null = null;
  return () => {
    made ??= { it: make() };
    return made.it;
  };
}
