/** The pattern of identifiers, for whoever needs no schema: what makes schemas is long. */

/** Names of one's own making: no control or invisible characters, nothing that needs escaping in a key. */
export const registerIdPattern = /^[A-Za-z0-9](?:[A-Za-z0-9._-]{0,62}[A-Za-z0-9])?$/
