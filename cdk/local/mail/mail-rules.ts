/** Faults of an address and of the head of a message, as SES refuses them. */
export interface HeadLine {
  readonly name: string
  readonly value: string
}

/** The header lines as written, unfolded. */
export function readHead(raw: Buffer): HeadLine[] {
  return headText(raw)
    .split(/\r?\n(?![ \t])/)
    .filter((line) => line !== '')
    .map((line) => {
      const colon = line.indexOf(':')
      return {
        name: colon < 0 ? line : line.slice(0, colon),
        value: colon < 0 ? '' : line.slice(colon + 1).replace(/\r?\n[ \t]+/g, ' '),
      }
    })
}

function headText(raw: Buffer): string {
  const text = raw.toString('latin1')
  const end = /\r?\n\r?\n/.exec(text)
  return end === null ? text : text.slice(0, end.index)
}

const onlyOnce = [
  'from',
  'to',
  'cc',
  'bcc',
  'subject',
  'date',
  'message-id',
  'reply-to',
  'sender',
  'mime-version',
  'content-type',
]

/** A line break in a value shows as a line without a name, as a bare line feed or as a second header of one kind. */
export function headFault(raw: Buffer, head: readonly HeadLine[]): string | undefined {
  const text = headText(raw)
  if (/(?<!\r)\n|\r(?!\n)/.test(text)) return 'Header lines must end in CRLF.'
  if (/[^\t\r\n\x20-\x7e]/.test(text)) return 'Headers may hold ASCII characters only.'
  const nameless = text.split(/\r\n(?![ \t])/).find((line) => line !== '' && !/^[\x21-\x39\x3b-\x7e]+:/.test(line))
  if (nameless !== undefined) return `Invalid header line: '${nameless.slice(0, 60)}'.`
  const names = head.map(({ name }) => name.toLowerCase())
  const twice = onlyOnce.find((name) => names.indexOf(name) !== names.lastIndexOf(name))
  if (twice !== undefined) return `Duplicate header '${twice}'.`
  if (!names.includes('from')) return "Missing required header 'From'."
  const long = text.split('\r\n').find((line) => line.length > 998)
  return long === undefined ? undefined : 'A header line is longer than 998 characters.'
}

export function addressFault(address: string): string | undefined {
  const at = address.lastIndexOf('@')
  if (at < 1 || at === address.length - 1) return `Missing final '@domain': '${address}'`
  const local = address.slice(0, at)
  const domain = address.slice(at + 1)
  if (/[\p{Cc}\s]/u.test(address)) return `Local address contains control or whitespace: '${address}'`
  if (/[^\x21-\x7e]/.test(local)) return `Local address contains non-ASCII characters: '${address}'`
  if (local.length > 64 || address.length > 320) return `Address is too long: '${address}'`
  if (!/^(?:[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(?:\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*|"(?:[^"\\]|\\.)*")$/.test(local)) {
    return `Local address contains illegal characters: '${address}'`
  }
  if (
    !/^(?:[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?\.)+[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?$/.test(domain)
  ) {
    return `Domain contains illegal character or is invalid: '${address}'`
  }
  return undefined
}
