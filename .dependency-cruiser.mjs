// Who may import whom. Run through tests/house/dependencies.ts, which also proves that every file was seen.

/** the packages a path may come from, at any depth of node_modules */
const packages = (...names) => `(^|/)node_modules/(@types/)?(${names.join('|')})/`

/** What the doors share, and which rooms each of these stands on. */
const rooms = [
  { name: 'ground', standsOn: [] },
  { name: 'store', standsOn: ['ground'] },
  { name: 'web', standsOn: ['ground', 'store'] },
  { name: 'questions', standsOn: ['ground', 'store'] },
  { name: 'recording', standsOn: ['ground', 'store', 'questions'] },
  { name: 'telling', standsOn: ['ground', 'store', 'questions'] },
  { name: 'anew', standsOn: ['ground', 'store', 'questions', 'recording', 'telling'] },
  { name: 'requests', standsOn: ['ground', 'store', 'questions', 'recording', 'telling', 'anew'] },
]

/** What doors hold bodies to. */
const schemas = `^shared-domain/(${[
  'bench-test/bench-test',
  'date-fields',
  'fact-bodies',
  'plan-body',
  'recall-body',
  'identifiers',
  'mail-address',
  'policy/policy',
  'policy/requirement',
  'quantity-fields',
  'registers',
  'text',
].join('|')})\\.ts$`

/** @type {import('dependency-cruiser').IConfiguration} */
export default {
  forbidden: [
    {
      // zod holds bodies to their schemas; messageformat says a message of the catalogue (Unicode MessageFormat 2)
      name: 'domain-imports-pure-packages',
      comment: 'shared-domain is pure: the packages listed here and itself, no node: built-ins, no AWS',
      severity: 'error',
      from: { path: '^shared-domain/' },
      to: { pathNot: ['^shared-domain/', packages('zod', 'messageformat')] },
    },
    {
      name: 'rules-ask-no-schema',
      comment:
        'a rule knows schemas by their types alone, and so do functions that no body reaches: they start without zod',
      severity: 'error',
      from: {
        path: '^(shared-domain|functions/(deliver-notices|follow-up|ground|hand-on|reindex|store|sweep))/',
        pathNot: schemas,
      },
      to: { path: [schemas, packages('zod')], dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'door-stays-in-its-own-folder',
      comment:
        'a door imports shared-domain, its own folder, the shared rooms and packages; never another door. But the ' +
        'API hands out the folder of a proof and papers too, and the pages draw them',
      severity: 'error',
      from: { path: '^functions/([^/]+)/', pathNot: rooms.map(({ name }) => `^functions/${name}/`) },
      to: {
        path: '^[^/]+/',
        pathNot: [
          '^functions/$1/',
          ...rooms.map(({ name }) => `^functions/${name}/`),
          '^functions/pages/(proof-file|papers/paper-file)\\.ts$',
          '^shared-domain/',
          '(^|/)node_modules/',
        ],
      },
    },
    ...rooms.map(({ name, standsOn }) => ({
      name: `room-${name}`,
      comment:
        `functions/${name} imports ` +
        `${standsOn.length === 0 ? 'no other room' : `of the rooms only ${standsOn.join(', ')}`}, and no door`,
      severity: 'error',
      from: { path: `^functions/${name}/` },
      to: {
        path: '^[^/]+/',
        pathNot: [...[name, ...standsOn].map((one) => `^functions/${one}/`), '^shared-domain/', '(^|/)node_modules/'],
      },
    })),
    {
      name: 'pages-and-feeds-ask',
      comment: 'what pages and feeds show is an answer of functions/questions; their index.ts alone opens the table',
      severity: 'error',
      from: { path: '^functions/(pages|feed)/', pathNot: '/index\\.ts$' },
      to: { path: '^functions/(store|recording)/' },
    },
    {
      name: 'function-file-in-a-folder',
      comment:
        'functions/ holds one folder a door and the shared rooms, no loose modules that would escape the rules above',
      severity: 'error',
      from: { path: '^functions/[^/]+$' },
      to: {},
    },
    {
      name: 'function-imports-shipped-packages',
      comment: 'what a function imports at run time stands under "dependencies"; types alone may come from elsewhere',
      severity: 'error',
      from: { path: '^functions/' },
      to: {
        dependencyTypes: ['npm-dev', 'npm-optional', 'npm-peer', 'npm-no-pkg', 'npm-unknown'],
        dependencyTypesNot: ['type-only'],
      },
    },
    {
      name: 'cdk-refers-by-path',
      comment:
        'cdk names the files of functions by path and imports neither them nor the domain: only the shape of the ' +
        'table, which is data',
      severity: 'error',
      from: { path: '^cdk/' },
      to: { path: '^(functions|shared-domain)/', pathNot: '^functions/store/table-shape\\.ts$' },
    },
    {
      name: 'table-shape-is-data',
      comment: 'what cdk may read of the functions draws nothing else in: it imports types alone',
      severity: 'error',
      from: { path: '^functions/store/table-shape\\.ts$' },
      to: { dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'deployed-stack-without-local-parts',
      comment: 'what only the local stack has is absent from the template',
      severity: 'error',
      from: { path: '^cdk/', pathNot: '^cdk/local/' },
      to: { path: '^cdk/local/' },
    },
    {
      name: 'nothing-imports-tests',
      severity: 'error',
      from: { pathNot: '^tests/' },
      to: { path: '^tests/' },
    },
    {
      name: 'no-circles',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'package-in-package-json',
      comment: 'a package that only arrived with another one may leave with it',
      severity: 'error',
      from: {},
      to: { dependencyTypes: ['npm-no-pkg', 'npm-unknown'], dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'import-leads-somewhere',
      severity: 'error',
      from: {},
      // types of a package without code of its own (aws-lambda) are found by the compiler, not by the resolver
      to: { couldNotResolve: true, dependencyTypesNot: ['type-only'] },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '^(dist|cdk\\.out|reports|coverage)/' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default', 'types'],
      mainFields: ['module', 'main', 'types'],
      extensions: ['.ts', '.js', '.mjs', '.cjs', '.json', '.d.ts'],
    },
  },
}
