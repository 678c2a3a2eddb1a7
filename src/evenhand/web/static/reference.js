// Shows the description of the interface for programs, from this site's own files.
SwaggerUIBundle({ url: "/api/openapi.json", dom_id: "#reference", validatorUrl: null });
