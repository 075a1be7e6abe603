// Checks the proof of a stick, in the folder where this file lies: `node verify.mjs`. It needs Node 20 or newer, and
// nothing else: no network, and nothing of the service that made the proof.
//
// With a fingerprint that an owner was mailed, `node verify.mjs "0123abcd …"`, it checks that this is among those that
// the records went on from. Without one the folder agrees with itself, and nothing says that all of it was not made up.
//
// It checks, one after the other:
// 1. every file is there as it was handed out (files.json);
// 2. every name and remark is the one whose hash stands in its record (salted SHA-256);
// 3. every record is a leaf of the tree (RFC 8785 and RFC 9162, section 2.1.3.2);
// 4. the tree went on from every earlier fingerprint (RFC 9162, section 2.1.4.2);
// 5. no record of the stick is left out, where the whole of them was asked for.
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { argv, exit } from 'node:process'
import { fileURLToPath } from 'node:url'

const folder = dirname(fileURLToPath(import.meta.url))
const read = (name) => readFileSync(join(folder, name))
const faults = []
const check = (holds, fault) => {
  if (!holds) faults.push(fault)
  return holds
}

const sha256 = (...parts) => createHash('sha256').update(Buffer.concat(parts)).digest('hex')
const hex = (text) => Buffer.from(text, 'hex')
const leafHash = (bytes) => sha256(Buffer.of(0), bytes)
const nodeHash = (left, right) => sha256(Buffer.of(1), hex(left), hex(right))
const textHash = (salt, bytes) => sha256(Buffer.of(2), hex(salt), bytes)

/** JSON as RFC 8785 has it: names in the order of their letters' codes, nothing between. */
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`
  if (value === null || typeof value !== 'object') return JSON.stringify(value)
  const names = Object.keys(value).sort()
  return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(',')}}`
}
const bytesOf = (value) => Buffer.from(canonical(value))

/** RFC 9162, section 2.1.3.2. */
function isIncluded(leaf, index, size, path, root) {
  if (!(index < size)) return false
  let [fn, sn, r] = [index, size - 1, leaf]
  for (const p of path) {
    if (sn === 0) return false
    if (fn % 2 === 1 || fn === sn) {
      r = nodeHash(p, r)
      while (fn % 2 === 0 && fn !== 0) [fn, sn] = [fn / 2, Math.floor(sn / 2)]
    } else r = nodeHash(r, p)
    ;[fn, sn] = [Math.floor(fn / 2), Math.floor(sn / 2)]
  }
  return sn === 0 && r === root
}

/** RFC 9162, section 2.1.4.2. */
function isConsistent(first, firstRoot, second, secondRoot, path) {
  if (first === second) return path.length === 0 && firstRoot === secondRoot
  if (first < 1 || first > second || path.length === 0) return false
  const [begin, ...others] = Number.isInteger(Math.log2(first)) ? [firstRoot, ...path] : path
  let [fn, sn, fr, sr] = [first - 1, second - 1, begin, begin]
  while (fn % 2 === 1) [fn, sn] = [Math.floor(fn / 2), Math.floor(sn / 2)]
  for (const c of others) {
    if (sn === 0) return false
    if (fn % 2 === 1 || fn === sn) {
      ;[fr, sr] = [nodeHash(c, fr), nodeHash(c, sr)]
      while (fn % 2 === 0 && fn !== 0) [fn, sn] = [fn / 2, Math.floor(sn / 2)]
    } else sr = nodeHash(sr, c)
    ;[fn, sn] = [Math.floor(fn / 2), Math.floor(sn / 2)]
  }
  return sn === 0 && fr === firstRoot && sr === secondRoot
}

/** Places of the record where a hash stands for a text: they hold the hash alone. */
function sealedIn(value, at = '') {
  if (value === null || typeof value !== 'object') return []
  if (Object.keys(value).join() === 'sealed') return [[at, value.sealed]]
  return Object.entries(value).flatMap(([name, inner]) => sealedIn(inner, `${at}/${name}`))
}

function checkFiles() {
  const files = JSON.parse(read('files.json').toString())
  for (const [name, hash] of Object.entries(files)) {
    let found = null
    try {
      found = sha256(read(name))
    } catch {}
    check(found === hash, found === null ? `${name} is missing` : `${name} is not as it was handed out`)
  }
  for (const name of readdirSync(folder))
    check(name.startsWith('.') || name === 'files.json' || name in files, `${name} does not belong to this proof`)
}

function checkRecord({ index, path, record, texts }, { organisation, stickId, head }) {
  const name = `record ${record.fact.seq} (fact ${record.fact.factId})`
  check(record.organisation === organisation && record.stickId === stickId, `${name} is of another stick`)
  const sealed = new Map(sealedIn(record))
  for (const [at, { salt, text }] of Object.entries(texts))
    check(sealed.get(at) === textHash(salt, bytesOf(text)), `${name}: the text at ${at} is not the one recorded`)
  const leaf = leafHash(bytesOf(record))
  check(isIncluded(leaf, index, head.size, path, head.root), `${name} is not in the tree as it reads here`)
  return [...sealed.keys()].filter((at) => !(at in texts)).length
}

function checkWhole({ on, asKnownOn, records, notYet }) {
  if (on !== null || asKnownOn !== null) return
  const seqs = [...records.map(({ record }) => record.fact.seq), ...notYet.map(({ seq }) => seq)].sort((a, b) => a - b)
  seqs.forEach((seq, i) => {
    check(seq === i + 1, `record ${i + 1} of the stick is left out`)
  })
}

function checkDays({ days, head }) {
  for (const { day, size, root, path } of days)
    check(isConsistent(size, root, head.size, head.root, path), `the records did not go on from those of ${day}`)
}

function checkFingerprint({ days, head }) {
  const asked = argv.slice(2).join('').replaceAll(/\s/g, '').toLowerCase()
  if (asked === '') return 'Compare one of these fingerprints with the one that an owner was mailed on its day.'
  const day = days.find(({ root }) => root === asked)
  check(day !== undefined || head?.root === asked, 'the fingerprint that you gave is not among those of this proof')
  return day === undefined ? '' : `The fingerprint that you gave is that of ${day.day}.`
}

/** A record in one line, out of what is in the tree. */
function lineOf({ seq, occurredOn, at, kind, judgement, corrects }) {
  const of =
    judgement === undefined ? (corrects === undefined ? '' : `: fact ${corrects} was a slip`) : `: ${judgement.verdict}`
  return `${seq}  ${occurredOn}${at === undefined ? '' : ` ${at}`}  ${kind}${of}`
}

try {
  checkFiles()
  const proof = JSON.parse(read('proof.json').toString())
  const { head, days, records, notYet } = proof
  check(head !== null || records.length === 0, 'there is no tree')
  const erased = head === null ? 0 : records.reduce((sum, one) => sum + checkRecord(one, proof), 0)
  checkWhole(proof)
  if (head !== null) checkDays(proof)
  const compared = checkFingerprint(proof)
  console.log(`Stick ${proof.stickId} of ${proof.organisation}, taken ${proof.takenAt}: ${records.length} records.`)
  for (const { record } of records) console.log(`  ${lineOf(record.fact)}`)
  console.log('The page tells the same in words. It is not in the tree: where it says otherwise, these lines count.')
  if (erased > 0) console.log(`${erased} names or remarks were erased; the records around them are as they were.`)
  if (notYet.length > 0) console.log(`${notYet.length} records are so new that nothing proves them yet.`)
  for (const { day, size, root } of days) console.log(`${day}, of ${size} records: ${root.match(/.{8}/g).join(' ')}`)
  if (compared !== '') console.log(compared)
} catch (error) {
  faults.push(`the proof does not read: ${error.message}`)
}
for (const fault of faults) console.log(`FAULT: ${fault}`)
console.log(faults.length === 0 ? 'All of it holds.' : `${faults.length} faults: do not rely on this proof.`)
exit(faults.length === 0 ? 0 : 1)
