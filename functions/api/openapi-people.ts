/** The names of what may be asked and done about people, and their routes. */
export const ofPeople = {
  putPerson: 'PUT /v1/people/:id',
  getPerson: 'GET /v1/people/:id',
  listPeople: 'GET /v1/people',
  getSignInOfPerson: 'GET /v1/people/:id/sign-in',
  setPersonFree: 'POST /v1/people/:id/sign-in/free',
  signPersonOut: 'POST /v1/people/:id/sign-in/sign-out',
}
