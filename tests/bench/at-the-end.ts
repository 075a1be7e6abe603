/** What figures share is put away when the last of them is measured. */
type Close = () => unknown

const all: Close[] = []

export const atTheEnd = (close: Close): unknown => all.push(close)

export async function putAway(): Promise<void> {
  for (const close of all.splice(0)) await close()
}
