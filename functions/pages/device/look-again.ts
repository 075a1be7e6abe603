/** A page that says how far something has come looks again by itself, until that has ended. */

const lookEvery = 2_000

export function lookAgain(): void {
  const found = document.querySelector<HTMLElement>('[data-looks-again]')
  if (found === null) return
  const timer = setInterval(() => void (document.hidden || look(found, () => clearInterval(timer))), lookEvery)
}

async function look(found: HTMLElement, end: () => void): Promise<void> {
  const address = found.dataset.looksAgain ?? location.pathname
  const answer = await fetch(address, { headers: { accept: 'text/html' } }).catch(() => null)
  if (answer === null || !answer.ok) return
  const next = new DOMParser().parseFromString(await answer.text(), 'text/html').querySelector('[data-looks-again]')
  if (next !== null) return found.replaceChildren(...next.childNodes)
  end()
  location.assign(address)
}
