/** Sentences of acts on pages: forms, what is wrong in them, and what follows. */
export const forms = {
  'may stay empty': '(may stay empty)',
  'not recorded': 'Not recorded yet. Please put this right:',
  'field and fault': '{$field}: {$fault}',
  'send again': 'Somebody else was writing at the same moment. Nothing was recorded. Please send it again.',
  'back without': 'Back, and record nothing',
  'to the stick': 'To stick {$stick}',
  note: 'Note',

  'report danger': 'Report stick {$stick}: something is wrong with it',
  'report it': 'Report it',
  'report follows':
    'The stick is on hold at once. Its crew, foreman and managers are told. Tag it and hand it to nobody.',
  'what is wrong': 'What is wrong',
  defect: '{$kind :word of=defect}',
  'day seen': 'Day on which it was seen',
  'hour seen': 'Hour',
  'hour seen hint': 'By the clock of the depot where the stick is',
  reported: 'Reported: stick {$stick}',
  'report told': 'Word of it is on record, and the people who must know are told.',
} as const
