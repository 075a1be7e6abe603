/** The page to come back to after a sign-in: one of ours, whatever the address says. */

const nowhere = 'https://nowhere.invalid'
const longest = 1500

/** The start page in place of anything else: another site, however it is written, or a step of the sign-in itself. */
export function returnAddress(asked: unknown): string {
  if (typeof asked !== 'string' || asked.length > longest || !/^\/[\x21-\x7e]*$/.test(asked)) return '/'
  if (!URL.canParse(asked, nowhere)) return '/'
  const { origin, pathname, search } = new URL(asked, nowhere)
  const isHere = origin === nowhere && !/^\/[/\\]/.test(decoded(pathname))
  return isHere && !/^\/(sign|healthz)/.test(pathname) ? pathname + search : '/'
}

/** What stands between this and the browser may read escaped slashes as slashes. */
function decoded(path: string): string {
  try {
    return decodeURIComponent(path)
  } catch {
    return '//'
  }
}
