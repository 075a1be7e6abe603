/** Subjects of which the API only answers: the year of the fleet, and the proof of its records. */
export const readAlone = [
  {
    name: 'fleet',
    description: 'What a year of the fleet came to, and what its tests teach of intervals and lots: advice alone.',
    operations: { getFleetAdvice: 'GET /v1/fleet/advice', getFleetReport: 'GET /v1/fleet/report' },
  },
  {
    name: 'papers',
    description: 'What is printed of a stick, as tagged PDF.',
    operations: {
      getCertificate: 'GET /v1/sticks/:id/certificate',
      getLabel: 'GET /v1/sticks/:id/label',
      getTag: 'GET /v1/sticks/:id/tag',
    },
  },
  {
    name: 'proof',
    description: 'What shows a stranger years later that no record was altered: RFC 9162 trees of facts.',
    operations: { getProofOfStick: 'GET /v1/sticks/:id/proof', listTreeHeads: 'GET /v1/proof/heads' },
  },
]
