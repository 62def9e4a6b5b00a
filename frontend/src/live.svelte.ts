import { liveQuery } from "dexie";

/** The value of a query, kept up to date with what any tab writes. `make` is run again whenever
 *  what it reads changes; undefined until the first answer. */
export function live<T>(make: () => () => Promise<T>): { readonly now: T | undefined } {
  let value = $state.raw<T>();
  $effect(() => {
    const subscription = liveQuery(make()).subscribe({
      next: (found) => (value = found),
      error: (error: unknown) => reportError(error),
    });
    return () => subscription.unsubscribe();
  });
  return {
    get now() {
      return value;
    },
  };
}
