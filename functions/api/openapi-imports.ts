/** Imports in the API document: their operations, and the file that is sent. */

export const ofImports = {
  name: 'imports',
  description: 'Files of rows from a spreadsheet, sent once: what each row would change, and then the change itself.',
  operations: {
    sendImport: 'POST /v1/imports',
    listImports: 'GET /v1/imports',
    getImport: 'GET /v1/imports/:id',
    sayReadingOfImport: 'POST /v1/imports/:id/reading',
    applyImport: 'POST /v1/imports/:id/apply',
  },
}

export const ofExports = {
  name: 'exports',
  description: 'What is kept, as files for spreadsheets.',
  operations: { takeOutFile: 'GET /v1/exports' },
}

/** Bytes are described by their type alone. */
export const fileBody = {
  required: false,
  content: {
    'text/csv': {},
    'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet': {},
    'application/octet-stream': {},
  },
}
