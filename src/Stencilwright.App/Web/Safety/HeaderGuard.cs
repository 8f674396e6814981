namespace Stencilwright.App.Web.Safety;

/// <summary>Headers that keep a page to itself: scripts, styles and pictures come from here alone, and nobody frames it.</summary>
/// <remarks>Source: W3C Content Security Policy Level 3; Fetch standard, section X-Content-Type-Options (from memory).</remarks>
internal sealed class HeaderGuard(RequestDelegate next)
{
    private const string Policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; "
        + "form-action 'self'; base-uri 'self'; frame-ancestors 'none'; manifest-src 'self'";

    public Task InvokeAsync(HttpContext context)
    {
        var headers = context.Response.Headers;
        headers.ContentSecurityPolicy = Policy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Permissions-Policy"] = "camera=(), microphone=(), geolocation=()";
        if (!context.Request.Path.StartsWithSegments("/_framework") && !context.Request.Path.StartsWithSegments("/fonts"))
        {
            // Jobs are nobody else's business, a shared proxy's least of all.
            headers.CacheControl = "no-store";
        }

        return next(context);
    }
}
