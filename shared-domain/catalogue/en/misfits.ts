/** Sentences on what would be right in a bench test that cannot be true of the stick it names. */
export const misfits = {
  'right: no wet test': 'no wet test: the stick is {$construction :word of=construction}, which is tested dry only',
  'right: beyond its beginning': 'at least {$least :small} beyond fromMetres, {$from :length}',
  'right: a place given once': 'a place given once; {$earlier} is the same',
  'right: no section': 'no section: the stick on the register has none',
  'right: a section of this stick': 'a section of this stick: {$sections}',
  'right: within its length': 'at most {$length :length}, the length there is',
  'right: within its length, in feet':
    'at most {$length :length}, the length there is; {$feet :figure} feet are {$inMetres :length}',
} as const
