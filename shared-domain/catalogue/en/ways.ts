/** Sentences on how an edit or a correction would make something milder. */
export const ways = {
  'ends removal': 'It would no longer be removed from service: it would be {$status :word of=status}.',
  'ends end of service': 'It would no longer be scrapped: it would be {$status :word of=status}.',
  'takes back': 'What spoke against it would no longer stand as it did: {$what :word of=what} of {$on :date}.',
  'judged milder':
    '.input {$tests :integer} .match $tests one {{1 test would be judged more mildly.}} * {{{$tests} tests would be judged more mildly.}}',
  'counts less': 'An earlier failure would no longer count toward its removal from service.',
  'ends hold': 'This hold would end:',
  'reads fitter': 'It would be {$becomes :word of=status} instead of {$was :word of=status}.',
  'due later': 'It would be due on {$to :date} instead of {$from :date}.',
  'too many to say':
    'More than {$sticks :integer} sticks were tested by it, too many to say here that none is judged more mildly.',
  'judged milder on sticks':
    '.input {$sticks :integer} .match $sticks one {{On 1 stick a test would be judged more mildly than it was.}} * {{On {$sticks} sticks a test would be judged more mildly than it was.}}',
} as const
