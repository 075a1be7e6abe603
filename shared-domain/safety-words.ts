/** Words said wherever the service speaks to people: on every page, in every mail, in the API's document. */
export const safetyWords =
  'This service supports and never replaces your employer’s procedures, local rules and qualified people. If in ' +
  'doubt, do not use the stick.'
