/** Sentences of acts on pages: forms, what is wrong in them, and what follows. */
export const forms = {
  'may stay empty': '(may stay empty)',
  'not taken yet': 'Not recorded yet. Please put this right:',
  'field and fault': '{$field}: {$fault}',
  'send again': 'Somebody else was writing at the same moment. Nothing was recorded. Please send it again.',
  'back without': 'Back, and record nothing',
  'to the stick': 'To stick {$stick}',
  note: 'Note',

  'field within': '{$within}: {$field}',
  'label and unit': '{$label}, in {$unit}',
  'unit m': 'metres',
  'unit ft': 'feet',
  'unit mm': 'millimetres',
  'unit in': 'inches',
  'more rows': 'More rows',
  'changed meanwhile':
    'Somebody else changed this entry while you were filling in the form. Look at it in another window. If you send this form again, what stands in it takes the place of their change from its day on.',
  'becomes metres': 'This becomes {$length :figure} m.',
  'becomes millimetres': 'This becomes {$length :figure} mm.',
  'to be filled in': 'This has to be filled in.',
  'at least': 'At least {$figure :figure}.',
  'at most': 'At most {$figure :figure}.',
  'more than': 'More than {$figure :figure}.',
  'less than': 'Less than {$figure :figure}.',
  'a number': 'A number, such as 4.1 or 4,1.',
  'an identifier':
    'An identifier: 1 to 64 letters, digits, dots, hyphens or underscores, with a letter or digit first and last.',
  'a whole number': 'A whole number.',

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
