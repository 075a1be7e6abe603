/** A mailbox is one however its letters are written: no provider of note tells addresses apart by case. */
export function sameMailbox(address: string): string {
  return address.toLowerCase()
}
