/** Names that other programs call the operations on recalls by. */
export const ofRecalls = {
  name: 'recalls',
  description: 'Sticks called back: by an instrument that read wrong, by their lot, or by an order.',
  operations: {
    openRecall: 'POST /v1/recalls',
    listRecalls: 'GET /v1/recalls',
    getRecall: 'GET /v1/recalls/:id',
    listSticksOfRecall: 'GET /v1/recalls/:id/sticks',
    closeRecall: 'POST /v1/recalls/:id/close',
  },
}
