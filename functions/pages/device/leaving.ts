/** The way out: what waits is sent first, or whoever leaves is told how much waits, and asked. The list is wiped. */
import type { Device } from './banner.ts'
import type { Sender } from './forms.ts'
import { button, element, paragraph } from './markup.ts'

export function watchSignOut(device: Device, sender: Sender): void {
  for (const form of document.querySelectorAll<HTMLFormElement>('form[action^="/sign-out"]'))
    form.addEventListener('submit', (event) => {
      event.preventDefault()
      void leaveBy(form, device, sender)
    })
}

async function leaveBy(form: HTMLFormElement, device: Device, sender: Sender): Promise<void> {
  const { store, say } = device
  await sender.round().catch(() => null)
  const kept = await store?.reports().catch(() => [])
  const count = kept?.length ?? 0
  if (count === 0) return leave(form, device)
  form.parentElement?.querySelector('.trouble')?.remove()
  const asked = element(
    'div',
    { class: 'trouble', role: 'alert', tabindex: '-1' },
    paragraph(say('device leaving', { count })),
    paragraph(button(say('device leave anyway'), () => void leave(form, device))),
  )
  form.after(asked)
  asked.focus()
}

/** Going on without the list wiped would leave it to whoever comes next: the browser is asked to, and then we go. */
async function leave(form: HTMLFormElement, { store }: Device): Promise<void> {
  await store?.dropList().catch(() => undefined)
  form.submit()
}
