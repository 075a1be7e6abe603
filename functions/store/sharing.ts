/** Verbs over something that they share. */

type Given<Shared, Verb> = Verb extends (shared: Shared, ...rest: infer Rest) => infer Answer
  ? (...rest: Rest) => Answer
  : never

/** Gives each verb its first argument, which is the same for all of them. */
export function sharing<
  Shared,
  Verbs extends { readonly [name: string]: (shared: Shared, ...rest: never[]) => unknown },
>(shared: Shared, verbs: Verbs) {
  const given = Object.entries(verbs).map(([name, verb]) => [name, (...rest: never[]) => verb(shared, ...rest)])
  return Object.fromEntries(given) as { readonly [name in keyof Verbs]: Given<Shared, Verbs[name]> }
}
