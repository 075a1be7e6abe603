/** Parameters of paths and queries, each in a sentence; one name means the same wherever it stands. */
const meanings: Readonly<Record<string, string>> = {
  id: 'The identifier of the entry or stick, as it stands on the register; of a proposal, the UUID that it was given',
  factId: 'The UUID that the fact was sent with',
  feedId: 'The identifier of the calendar feed, from the list of feeds',
  on: 'The day that is asked about; without it, today',
  asKnownOn: 'Only what was recorded by the end of this day counts; without it, all that is recorded',
  cursor: '`next` of an earlier answer to the same question; without it, the first page',
  limit: 'The most items on the page, 1 to 200',
  state: 'Only those in this state',
  preview: '`true`: nothing is recorded, and the answer says what would follow',
  status: 'Only sticks of this status',
  depot: 'Only sticks that lie in the charge of this depot',
  crew: 'Only what belongs to this crew',
  lot: 'Only sticks of this lot of the maker',
  store: 'Only sticks that lie in the store of this depot',
  q: 'Only sticks whose number holds these letters and digits, large or small',
  dueFrom: 'Only sticks that are due, or were, on this day or later',
  dueTo: 'Only sticks that are due, or were, on this day or earlier',
  lent: 'Only sticks that are lent out',
  target: 'The share of sticks that is to pass at the end of its interval, 0.5 to 0.9999; without it, 0.95',
  year: 'The year that is asked about; without it, this year up to today',
  stick: 'Only notices that name this stick',
  person: 'Only notices to this person',
  to: 'Only notices to this mail address',
  since: 'Only notices owed on this day or later',
  test: 'The factId of a bench test of the stick; without it, its newest',
  sheet: 'The sheet of labels, by its paper and how many are on it; without it, the A4 sheet of 24',
  place: 'The place of the label on its sheet, from 1 in rows from the top; past the end, the last',
  kind: 'What the rows of the file are',
  format: 'CSV, or a workbook',
  mode: 'Only say what the file would change, or change it where every row is good',
  goodOnly: 'Take the good rows where some are not, and hand the others back',
  organisation: 'The organisation, as the link of the mail names it',
  number: 'The number of the notice, as the link of the mail names it',
  until: 'The instant up to which the link holds',
  signature: 'The signature that stands for a token',
  file: 'The secret of the feed, then `.ics`',
}

/** @throws where nobody has said what the parameter means: whoever calls by the document reads it there */
export function meaningOf(name: string): string {
  const meaning = meanings[name]
  if (meaning === undefined) throw new Error(`no word on the parameter ${name}: say it in openapi-parameters.ts`)
  return meaning
}

export const inPath = (name: string) => ({
  name,
  in: 'path',
  required: true,
  description: meaningOf(name),
  schema: { type: 'string' },
})
