/** The address of the API's own document. */
export const contract = '/v1/openapi.json'
