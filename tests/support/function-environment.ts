/** The environment of a function: all that any of them or its clients ask for at the start. */
export const functionEnvironment = {
  AWS_REGION: 'us-east-1',
  TABLE_NAME: 'table',
  MAIL_FROM: 'notices@quarterturn.example',
  MAIL_CONFIGURATION_SET: 'set',
  PAGES_URL: 'https://pages.example',
  FEEDS_URL: 'https://api.example',
  ANSWERS_URL: 'https://api.example',
  PAGES_ORGANISATION: 'demo-utility',
  URGENT_QUEUE_URL: 'https://sqs.example/1/urgent',
  OTHERS_QUEUE_URL: 'https://sqs.example/1/others',
  UNDELIVERED_QUEUE_URL: 'https://sqs.example/1/undelivered',
}
