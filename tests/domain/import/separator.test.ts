/** Which mark parts the cells of a file. Most cases are of kinds that public guessers of separators got wrong. */
import { expect, test } from 'vitest'
import { separatorOf } from '../../../shared-domain/import/separator.ts'

test.each([
  [';', 'stick;length\nS-1;2,4\n'],
  [';', '08/01/2016;A;-21.419,06\n12/01/2016;A;-21.375,00\n'],
  [';', 'a;b;c\n"x, y, z, w, v";2,5;"l1\nl2, l3"\n'],
  ['|', 'S-1|3,4|FRP\nS-2|3,4|FRP\n'],
  ['\t', 'stick\tlength\n120,5\t50,3\n'],
  [',', 'stick,days out\nS-1,01/04/2022;02/04/2022;05/04/2022\n'],
  [',', 'stick,note\n"1;2;3;4","5;6;7;8"\n'],
  [',', '"a;b;c;d",e\n'],
  [',', 'only\none\ncolumn\n'],
  [',', ''],
  [';', '"stick ""one"";",a;b;c\r\n'],
])('%j', (separator, text) => {
  expect(separatorOf(text)).toBe(separator)
})
