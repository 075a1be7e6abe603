/** Orders on a stick that pages and the page behind the link of a mail give in the same words. */
export const orders = {
  'do leave at the bench': 'It is at the bench: tag it and leave it there.',
  'do bring from store': 'It is in store: tag it there, give it to nobody, and bring it to the bench.',
} as const
