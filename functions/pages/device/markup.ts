/** Elements made by hand: what is shown is always text, never markup. */

type Child = Node | string

export function element<Tag extends keyof HTMLElementTagNameMap>(
  tag: Tag,
  attributes: Readonly<Record<string, string>>,
  ...children: readonly Child[]
): HTMLElementTagNameMap[Tag] {
  const made = document.createElement(tag)
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value)
  made.append(...children)
  return made
}

export const paragraph = (...children: readonly Child[]) => element('p', {}, ...children)

export function button(text: string, press: () => void): HTMLButtonElement {
  const made = element('button', { type: 'button' }, text)
  made.addEventListener('click', press)
  return made
}

export function signInLink(text: string): HTMLElement {
  const { pathname, search } = location
  return element('a', { href: `/sign-in?to=${encodeURIComponent(pathname + search)}` }, text)
}

/** Takes the place of the page's content; whoever hears the screen hears it from its heading on. */
export function showInstead(title: string, ...children: readonly Child[]): void {
  const heading = element('h1', { tabindex: '-1' }, title)
  document.getElementById('main')?.replaceChildren(heading, ...children)
  heading.focus()
}
