"use strict";
// The explorer shows the contract that this same service serves.
window.explorer = SwaggerUIBundle({
  url: "/openapi.json",
  dom_id: "#explorer",
  deepLinking: true,
  tryItOutEnabled: true,
  defaultModelsExpandDepth: 0,
  defaultModelRendering: "model",
  displayRequestDuration: true,
  validatorUrl: null,
});
