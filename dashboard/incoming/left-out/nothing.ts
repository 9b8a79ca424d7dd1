/** Stands where the MQTT client would load a part that a browser page never uses. */
const nothing = {};
export default nothing;
