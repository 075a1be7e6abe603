/** The names of the lesser facts that may be recorded of a stick, and their routes. */
export const ofFacts = {
  recordPastTest: 'POST /v1/sticks/:id/past-tests',
  askThatPastTestsCount: 'POST /v1/past-tests/counts',
  recordCorrectiveStep: 'POST /v1/sticks/:id/corrective-steps',
  recordUse: 'POST /v1/sticks/:id/uses',
  reportDefect: 'POST /v1/sticks/:id/defects',
  recordMove: 'POST /v1/sticks/:id/moves',
  recordCertificate: 'POST /v1/sticks/:id/certificates',
  recordConditionCheck: 'POST /v1/sticks/:id/condition-checks',
  releaseStick: 'POST /v1/sticks/:id/releases',
  removeStick: 'POST /v1/sticks/:id/removals',
  recordLabel: 'POST /v1/sticks/:id/labels',
  recordPaperLook: 'POST /v1/sticks/:id/paper-looks',
}
