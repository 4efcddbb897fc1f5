/**
 * Loaded before the program by its test launcher: the window opens only when the test is connected. One that opens while the
 * connection is being made sometimes stays empty for ever.
 */
const { app } = require('electron');

const whenReady = app.whenReady.bind(app);
const connected = new Promise((resolve) => {
  globalThis.testIsConnected = resolve;
});
app.whenReady = () => connected.then(whenReady);
