/** The command lines of the programs that people call: help, faults, and a table that is out of reach. */
import { expect, test } from 'vitest'
import { readCommandLine } from '../../functions/ground/command-line.ts'
import { namedTable, whyOutOfReach } from '../../functions/store/table-by-flags.ts'

const flags = { table: 'value', loud: 'nothing' } as const

test('values, flags without one, and words', () => {
  const line = readCommandLine(['one', '--table', 'T', '--loud', 'two'], flags)
  expect([line.textOf('table'), line.has('loud'), line.words, line.faults]).toEqual(['T', true, ['one', 'two'], []])
})

test.each(['--help', '-h'])('%s asks for help', (flag) => {
  expect(readCommandLine([flag], flags).help).toBe(true)
  expect(readCommandLine([], flags).help).toBe(false)
})

test('every fault is told at once', () => {
  expect(readCommandLine(['--moon', '-x', '--loud=yes', '--table'], flags).faults).toEqual([
    'there is no flag --moon',
    'there is no flag -x',
    '--loud takes no value',
    '--table needs a value',
  ])
})

test('a flag is not taken for the value of the one before', () => {
  expect(readCommandLine(['--table', '--loud'], flags).faults).toEqual(['--table needs a value'])
})

test('a table is named with its endpoint', () => {
  const argv = ['--table', 'T', '--endpoint', 'http://127.0.0.1:8000']
  expect(namedTable(argv)).toMatchObject({ help: false, name: 'T', endpoint: 'http://127.0.0.1:8000', faults: [] })
})

test.each([
  [[], ['no table is named: --table NAME']],
  [['--table'], ['--table needs a value']],
  [
    ['--table', 'T', '--endpoint', 'nowhere'],
    ['--endpoint nowhere: expected an address such as http://127.0.0.1:8000'],
  ],
  [
    ['T', '--moon'],
    ['T is no flag', 'there is no flag --moon', 'no table is named: --table NAME'],
  ],
])('%j names no table', (argv, faults) => {
  expect(namedTable(argv).faults).toEqual(faults)
})

const local = { name: 'T', endpoint: 'http://127.0.0.1:8000' }
const inAws = { name: 'T', endpoint: undefined }
const named = (name: string, message = '', more: object = {}) => Object.assign(new Error(message), { name, ...more })

test.each([
  [
    Object.assign(new Error('connect'), { code: 'ECONNREFUSED' }),
    local,
    /^Nothing answers at http:\/\/127.0.0.1:8000\./,
  ],
  [named('ResourceNotFoundException'), local, /^There is no table T at http:\/\/127.0.0.1:8000\.$/],
  [new Error('Region is missing'), inAws, /^No region of AWS is set/],
  [named('CredentialsProviderError'), inAws, /^No credentials for AWS were found/],
  [named('AccessDeniedException', 'not you'), inAws, /^The table T may not be read with these credentials: not you$/],
  [
    named('ValidationException', 'Invalid table/index name.  Between 3 and 255'),
    local,
    /^T cannot be the name of a table\.$/,
  ],
  [named('UnknownError', 'UnknownError', { $metadata: {} }), local, /is no DynamoDB/],
])('%s is told in a sentence', (error, table, sentence) => {
  expect(whyOutOfReach(error, table)).toMatch(sentence)
})

test('any other error keeps its trace', () => {
  expect(whyOutOfReach(new TypeError('undefined is not a function'), local)).toBeUndefined()
})
